"""Settings of the class's hub. What differs from class to class comes from `npm run class` in EVENGROUND_CLASS."""

import json
import os
import sys

c = get_config()  # noqa: F821  given by JupyterHub
given = json.loads(os.environ["EVENGROUND_CLASS"])
state = os.path.join(given["folder"], "state")
course = given["course"]
sys.path.insert(0, os.path.join(course, "scripts", "class", "server"))
environment = given["environment"]

# Where it listens: loopback unless the teacher said otherwise, and then only with TLS.
c.JupyterHub.bind_url = f"{'https' if given.get('cert') else 'http'}://{given['host']}:{given['port']}"
if given.get("cert"):
    c.JupyterHub.ssl_cert = given["cert"]
    c.JupyterHub.ssl_key = given["key"]
c.JupyterHub.hub_ip = "127.0.0.1"
c.JupyterHub.hub_port = given["hubPort"]
c.ConfigurableHTTPProxy.api_url = f"http://127.0.0.1:{given['proxyPort']}"
c.ConfigurableHTTPProxy.command = given["proxy"]
c.ConfigurableHTTPProxy.pid_file = os.path.join(state, "proxy.pid")
c.ConfigurableHTTPProxy.check_running_interval = 3

# What it remembers, readable by the hub alone.
c.JupyterHub.db_url = f"sqlite:///{os.path.join(state, 'hub.sqlite')}"
c.JupyterHub.cookie_secret_file = os.path.join(state, "cookie-secret")

# Each student under a name of their own, where the school has such names: then a page of one is a stranger to all others.
if given.get("domain"):
    c.JupyterHub.subdomain_host = f"{'https' if given.get('cert') else 'http'}://{given['domain']}:{given['port']}"

# Who may come in: those on the list, each with a password of their own from the start.
c.JupyterHub.authenticator_class = "passwords.ListedPasswords"
c.ListedPasswords.file = os.path.join(state, "passwords.json")
c.Authenticator.allowed_users = set(given["students"]) | {given["teacher"]}
c.Authenticator.allow_existing_users = False
# Nobody is an administrator. The teacher sees servers and stops them, and enters none: whatever a student's server shows
# would act with the rights of who looks at it.

# A server for each student, under the student's own account where the class has accounts.
c.JupyterHub.spawner_class = "simple" if given["oneAccount"] else "bounds.BoundedSpawner"
if not given["oneAccount"]:
    # two kernels at work, and the server itself
    c.BoundedSpawner.memory = (2 * given["memory"] + 500) * 1_000_000
if given["oneAccount"]:
    c.SimpleLocalProcessSpawner.home_dir_template = os.path.join(given["folder"], "work", "{username}")
c.Spawner.cmd = ["/bin/sh", os.path.join(course, "scripts", "class", "server", "student.sh")]
c.Spawner.notebook_dir = "~/course"
c.Spawner.default_url = "/lab"
c.Spawner.ip = "127.0.0.1"
c.Spawner.disable_user_config = True
c.Spawner.start_timeout = 600  # with waiting for a turn
c.Spawner.http_timeout = 120
c.Spawner.env_keep = ["PATH", "LANG", "LC_ALL", *given["keep"]]
c.Spawner.environment = {
    "EVENGROUND_COURSE": course,
    "EVENGROUND_NODE": given["node"],
    "JUPYTER_PREFER_ENV_PATH": "1",
    "JUPYTER_CONFIG_PATH": os.path.join(given["folder"], "settings"),
    "PYTHONNOUSERSITE": "1",
    "PYTHONPATH": os.path.join(course, "scripts", "jupyter"),
}
c.Spawner.args = given["serverArguments"]
# The log-in page, with the rule of names and passwords.
c.JupyterHub.template_paths = [os.path.join(course, "scripts", "class", "server", "templates")]

# Servers that nobody has used for a while end; the files stay.
c.JupyterHub.services = [
    {
        "name": "idle",
        "command": [
            os.path.join(environment, "bin", "jupyterhub-idle-culler"),
            f"--timeout={given['idle'] * 60}",
            "--cull-every=60",
        ],
        "environment": {name: os.environ[name] for name in given["keep"] if name in os.environ},
    },
    # ahead.mjs: servers start before their students come.
    {"name": "ahead", "api_token": given["token"]},
]
c.JupyterHub.load_roles = [
    {"name": "ahead", "services": ["ahead"], "scopes": ["servers"]},
    {
        "name": "idle",
        "services": ["idle"],
        "scopes": ["list:users", "read:users:activity", "read:servers", "delete:servers"],
    },
    {
        "name": "teacher",
        "users": [given["teacher"]],
        "scopes": ["self", "admin-ui", "list:users", "read:users:activity", "read:servers", "delete:servers"],
    },
]
