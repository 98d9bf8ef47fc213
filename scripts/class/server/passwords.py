"""Who may come in: those on the list, each with the password that the class's start made for them.

A name that nobody has takes as long to refuse as a wrong password and is locked in the same way, so that names can't be told
apart by trying.
"""

import asyncio
import json
import time

from jupyterhub.auth import Authenticator
from password_records import NOBODY, fits
from tornado.web import HTTPError
from traitlets import Float, Integer, Unicode

# So many names and addresses are remembered; the oldest are forgotten first.
REMEMBERED = 10_000


class ListedPasswords(Authenticator):
    file = Unicode(config=True, help="the hashes, by name")
    tries = Integer(5, config=True, help="wrong passwords from one address for one name, before it is locked")
    tries_everywhere = Integer(50, config=True, help="the same from all addresses together")
    lock = Float(900, config=True, help="seconds for which it is locked")

    def __init__(self, **kwargs):
        super().__init__(**kwargs)
        self.wrong = {}

    async def authenticate(self, handler, data):
        # Telephones put spaces behind what they complete.
        name, password = data["username"].strip(), data["password"].strip()[:200]
        counted = ((name, handler.request.remote_ip, self.tries), (name, "", self.tries_everywhere))
        if any(self.recent(name, address) >= most for name, address, most in counted):
            raise HTTPError(403, "Too many wrong passwords for this name: wait a quarter of an hour, or ask the teacher.")
        record = self.records().get(name)
        right = await asyncio.get_running_loop().run_in_executor(None, fits, password, record or NOBODY)
        if right and record:
            self.wrong.pop((name, handler.request.remote_ip), None)
            return name
        for name, address, _ in counted:
            self.wrong.setdefault((name, address), []).append(time.monotonic())
        while len(self.wrong) > REMEMBERED:
            self.wrong.pop(next(iter(self.wrong)))
        # The second wrong one waits a second longer than the first, and so on.
        await asyncio.sleep(self.recent(name, handler.request.remote_ip))
        return None

    def check_allowed(self, username, authentication=None):
        """Whoever is on the list now: latecomers are added while the class is open."""
        return username in self.records()

    def records(self):
        with open(self.file) as file:
            return json.load(file)

    def recent(self, name, address):
        """Wrong passwords of late."""
        since = time.monotonic() - self.lock
        times = [at for at in self.wrong.get((name, address), ()) if at > since]
        if times:
            self.wrong[(name, address)] = times
        else:
            self.wrong.pop((name, address), None)
        return len(times)
