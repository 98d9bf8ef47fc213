"""A hub with the settings of values.yaml as the chart applies them, as far as that goes without Kubernetes: scripts/class/checks/image.ts."""

import json
import os

c = get_config()  # noqa: F821  given by JupyterHub
given = json.loads(os.environ["EVENGROUND_HUB"])
hub, server = given["values"]["hub"], given["values"]["singleuser"]

c.JupyterHub.bind_url = f"http://127.0.0.1:{given['ports'][0]}"
c.JupyterHub.hub_port = given["ports"][1]
c.ConfigurableHTTPProxy.api_url = f"http://127.0.0.1:{given['ports'][2]}"
c.ConfigurableHTTPProxy.command = given["proxy"]
c.JupyterHub.concurrent_spawn_limit = hub["concurrentSpawnLimit"]

# In the pod's stead a process of its own, which `enter` puts into the image: it brings nothing along but what the hub gives it.
c.JupyterHub.spawner_class = "simple"
c.SimpleLocalProcessSpawner.home_dir_template = given["folder"]
c.Spawner.env_keep = []
c.Spawner.cmd = [given["enter"], *server["cmd"]]
c.Spawner.default_url = server["defaultUrl"]
c.Spawner.start_timeout = c.Spawner.http_timeout = 120

# Last, as in the chart: roles are added to, settings of classes taken as they stand.
c.JupyterHub.load_roles = [{"name": name, **role} for name, role in hub["loadRoles"].items()]
for name, settings in hub["config"].items():
    c[name].update(settings)
# Where Kubernetes would have put the files.
c.ListedPasswords.file = given["folder"] + hub["config"]["ListedPasswords"]["file"]
