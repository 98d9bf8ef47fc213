"""`python quick_start.py MODULE …` is `python -m MODULE …` for a server with JupyterLab that asks Yarn for nothing. JupyterLab
starts Node.js to learn where extensions would be fetched from, while it is imported and again for each page that is opened: a
quarter of either. Nobody fetches extensions here."""

import os
import runpy
import sys

path = os.environ.get("PATH")
try:
    os.environ["PATH"] = os.devnull  # without Node.js it does not ask
    from jupyterlab import commands
finally:
    if path is None:
        del os.environ["PATH"]
    else:
        os.environ["PATH"] = path
commands._yarn_config = lambda logger: {"yarn config": {}, "npm config": {}}

del sys.argv[0]
runpy.run_module(sys.argv[0], run_name="__main__", alter_sys=True)
