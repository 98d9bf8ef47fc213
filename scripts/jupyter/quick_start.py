"""`python quick_start.py MODULE …` is `python -m MODULE …` for a server with JupyterLab that asks Yarn for nothing. While it
is imported JupyterLab starts Node.js to learn where extensions would be fetched from, a fifth of its whole start."""

import os
import runpy
import sys

path = os.environ.get("PATH")
try:
    os.environ["PATH"] = os.devnull
    import jupyterlab.labapp  # noqa: F401
finally:
    if path is None:
        del os.environ["PATH"]
    else:
        os.environ["PATH"] = path

del sys.argv[0]
runpy.run_module(sys.argv[0], run_name="__main__", alter_sys=True)
