"""An extension of Jupyter's server: kernels of the course start from their snapshot (`scripts/setup/snapshot.mjs`).

What the snapshot is stands in the kernel's specification. Where it is missing, or Node.js has changed since it was made, the
kernel starts in the ordinary way, as it does in a server without this extension.
"""

import os
from importlib.metadata import EntryPoint

from jupyter_client.provisioning import KernelProvisionerFactory, LocalProvisioner


class QuickProvisioner(LocalProvisioner):
    async def launch_kernel(self, cmd, **kwargs):
        return await super().launch_kernel(from_snapshot(cmd, self.kernel_spec.metadata), **kwargs)


def from_snapshot(cmd, metadata):
    """The command line with the snapshot that fits it, where there is one."""
    snapshot = metadata.get("snapshot")
    if not snapshot or snapshot["node"]["file"] not in cmd or not fits(snapshot):
        return cmd
    after = cmd.index(snapshot["node"]["file"]) + 1
    return [*cmd[:after], "--snapshot-blob", snapshot["file"], *cmd[after:]]


def fits(snapshot):
    """Whether it is there, and Node.js the very program that made it: any other refuses it and ends."""
    node = snapshot["node"]
    try:
        now = os.stat(node["file"])
        return os.path.exists(snapshot["file"]) and [now.st_size, int(now.st_mtime)] == [node["size"], node["changed"]]
    except OSError:
        return False


def _jupyter_server_extension_points():
    return [{"module": "quick_kernels"}]


def _load_jupyter_server_extension(app):
    name = "local-provisioner"
    ours = EntryPoint(name, "quick_kernels:QuickProvisioner", KernelProvisionerFactory.GROUP_NAME)
    KernelProvisionerFactory.instance(parent=app).provisioners[name] = ours
