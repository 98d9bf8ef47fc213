"""All of a student's work as one archive, from their own server: the folder that `npm start -- --work FOLDER` opens at home, and
whose notebooks the course as files opens. Enabled where a class works on one machine."""

import os
import tempfile
import zipfile

from jupyter_server.base.handlers import JupyterHandler
from jupyter_server.utils import url_path_join
from tornado import web

# The libraries are there at home as well.
LEFT_OUT = {"node_modules", "__pycache__", ".ipynb_checkpoints", ".local", ".jupyter", ".cache"}
NAME = "evenground-work"
BLOCK = 1 << 20
# Feedback lies in a folder named by its time: "10:06" is no name under Windows.
FORBIDDEN = str.maketrans('<>:"|?*\\', "--------")


def write_archive(folder, file):
    """Plain files below a folder; links are not followed and not kept."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, strict_timestamps=False) as archive:
        for place, folders, names in os.walk(folder):
            folders[:] = sorted(name for name in folders if name not in LEFT_OUT)
            for name in sorted(names):
                path = os.path.join(place, name)
                if os.path.isfile(path) and not os.path.islink(path):
                    archive.write(path, os.path.join(NAME, os.path.relpath(path, folder).translate(FORBIDDEN)))


class TakeHome(JupyterHandler):
    @web.authenticated
    async def get(self):
        self.set_header("Content-Type", "application/zip")
        self.set_header("Content-Disposition", f'attachment; filename="{NAME}.zip"')
        with tempfile.TemporaryFile() as file:
            write_archive(self.contents_manager.root_dir, file)
            file.seek(0)
            while block := file.read(BLOCK):
                self.write(block)
                await self.flush()


def _jupyter_server_extension_points():
    return [{"module": "take_home"}]


def _load_jupyter_server_extension(server):
    base = server.web_app.settings["base_url"]
    server.web_app.add_handlers(".*$", [(url_path_join(base, "take-home"), TakeHome)])
