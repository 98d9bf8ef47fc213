"""What one student's server and all that runs in it may use together: memory and processes by a control group, and limits of the
system that a program can't raise. Where there are no control groups the limits of each process remain."""

import asyncio
import os
import resource
import socket

from jupyterhub.spawner import LocalProcessSpawner
from traitlets import Integer

ROOT = "/sys/fs/cgroup"
FILE = 500_000_000  # bytes of one file; recordings of a show are smaller
# So many servers start at once: forty at the same moment would each wait for all the others. The hub itself would refuse
# whoever comes then instead of letting them wait.
TURNS = asyncio.Semaphore(2 * (os.cpu_count() or 1))


def group_of(name, memory, processes):
    """The files to which a process writes its number to be bound, made where they are not there; none without control groups."""
    try:
        if os.path.exists(f"{ROOT}/cgroup.controllers"):
            group = f"{ROOT}/evenground/{name}"
            os.makedirs(group, exist_ok=True)
            for parent in (ROOT, f"{ROOT}/evenground"):
                write(f"{parent}/cgroup.subtree_control", "+memory +pids")
            write(f"{group}/memory.max", memory)
            write(f"{group}/memory.swap.max", 0, optional=True)
            write(f"{group}/pids.max", processes)
            return [f"{group}/cgroup.procs"]
        groups = {kind: f"{ROOT}/{kind}/evenground/{name}" for kind in ("memory", "pids")}
        for group in groups.values():
            os.makedirs(group, exist_ok=True)
        write(f"{groups['memory']}/memory.limit_in_bytes", memory)
        write(f"{groups['pids']}/pids.max", processes)
        return [f"{group}/cgroup.procs" for group in groups.values()]
    except OSError:
        return []


def write(file, value, optional=False):
    if optional and not os.path.exists(file):
        return
    with open(file, "w") as opened:
        opened.write(str(value))


class BoundedSpawner(LocalProcessSpawner):
    memory = Integer(config=True, help="bytes")
    processes = Integer(400, config=True, help="with their threads")

    async def start(self):
        async with TURNS:
            place = await super().start()
            while await self.poll() is None and not listens(place):
                await asyncio.sleep(0.2)
        return place

    def make_preexec_fn(self, name):
        files = group_of(name, self.memory, self.processes)
        become = super().make_preexec_fn(name)

        def bind_and_become():
            for file in files:
                write(file, os.getpid())
            for kind, most in (
                (resource.RLIMIT_NPROC, self.processes),
                (resource.RLIMIT_FSIZE, FILE),
                (resource.RLIMIT_CORE, 0),
            ):
                resource.setrlimit(kind, (most, most))
            become()

        return bind_and_become


def listens(place):
    with socket.socket() as tried:
        return tried.connect_ex(place) == 0


if __name__ == "__main__":
    # Asked at the start of a class: what will hold here.
    print("groups" if group_of("probe", 10**9, 100) else "limits")
