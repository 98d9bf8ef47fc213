"""A class that works at the same time, on this machine alone: simulated students with Jupyter's own protocol.

Each logs in, has a server started, opens the lesson with the most code cells, runs it whole in a kernel of its own, saves it
with its outputs, reads it back, and opens the next. Run `npm run class` first with a list of as many names:

    .venv-class/bin/python scripts/class/checks/load.py --address http://127.0.0.1:8000 --students FILE [--count N] [--json FILE]
"""

import argparse
import asyncio
import collections
import json
import os
import pwd
import re
import time
import urllib.parse
import uuid

from student import LESSON, ROOT, Student, need
from tornado.httpclient import AsyncHTTPClient

# By a word of its command line, what a process is.
KINDS = {
    "typescript-kernel": "kernel",
    "jupyterhub.singleuser": "server",
    "jupyterhub_config.py": "hub",
    "configurable-http-proxy": "proxy",
    "jupyterhub-idle-culler": "culler",
    "checks/load.py": "this program",
}


async def first_cell(student, lesson):
    """From the log-in to the first figure of a lesson, waiting for nobody. Returns what was measured."""
    start = time.time()
    await student.log_in()
    logged_in = time.time() - start
    await student.start_server()
    server = time.time() - start
    notebook = (await student.open(lesson))["content"]
    await student.start_kernel(lesson)
    cell = next(c for c in notebook["cells"] if c["cell_type"] == "code")
    status, outputs, figure = await student.run("".join(cell["source"]))
    need(status == "ok" and figure, f"the first cell of {lesson}: {status} {json.dumps(outputs)[-300:]}")
    return {"log_in": logged_in, "server": server, "first_figure": figure - start, **kernel_memory(student.name)}


def processor():
    """Seconds of processor time so far, by what used them: of processes that still run, and of what they waited for."""
    found = collections.Counter()
    for process in filter(str.isdigit, os.listdir("/proc")):
        try:
            with open(f"/proc/{process}/cmdline") as file:
                words = file.read()
            with open(f"/proc/{process}/stat") as file:
                own_user, own_system, user, system = map(int, file.read().rpartition(")")[2].split()[11:15])
        except (FileNotFoundError, ProcessLookupError):
            continue
        for word, kind in KINDS.items():
            if word in words:
                found[kind] += (own_user + own_system) / os.sysconf("SC_CLK_TCK")
                if kind == "server":
                    found["its ended children"] += (user + system) / os.sysconf("SC_CLK_TCK")
                break
    return found


async def work(student, lessons, together):
    """A lesson, whole; then the next one opened. Returns what was measured."""
    start = time.time()
    await student.log_in()
    await student.start_server()
    server = time.time() - start
    await together.wait()
    begin = time.time()
    lesson, following = lessons
    notebook = (await student.open(lesson))["content"]
    await student.start_kernel(lesson)
    first = None
    for count, cell in enumerate((c for c in notebook["cells"] if c["cell_type"] == "code"), 1):
        source = cell["source"] if isinstance(cell["source"], str) else "".join(cell["source"])
        status, outputs, figure = await student.run(source)
        may_fail = "raises-exception" in cell["metadata"].get("tags", [])
        need(status == "ok" or may_fail, f"cell {count} of {lesson}: {status} {json.dumps(outputs)[-300:]}")
        cell["outputs"], cell["execution_count"] = outputs, count
        if figure and first is None:
            first = figure - begin
    memory = kernel_memory(student.name)
    notebook["cells"][0]["metadata"]["note"] = mark = uuid.uuid4().hex
    await student.save(lesson, notebook)
    kept = (await student.open(lesson))["content"]
    need(kept["cells"][0]["metadata"]["note"] == mark, "what was saved is not what is there")
    need([c.get("outputs") for c in kept["cells"]] == [c.get("outputs") for c in notebook["cells"]], "outputs were lost")
    await student.open(following)
    await student.stop_kernel()
    return {"server": server, "first_figure": first, "whole": time.time() - begin, **memory}


def kernel_memory(name):
    """Megabytes of this student's kernel and server: their proportional share of what lies in memory."""
    identity = pwd.getpwnam(name).pw_uid
    found = {"kernel_mb": 0.0, "server_mb": 0.0}
    for process in filter(str.isdigit, os.listdir("/proc")):
        try:
            if os.stat(f"/proc/{process}").st_uid != identity:
                continue
            with open(f"/proc/{process}/cmdline") as file:
                words = file.read()
            with open(f"/proc/{process}/smaps_rollup") as file:
                share = re.search(r"^Pss:\s+(\d+) kB", file.read(), re.M)
        except (FileNotFoundError, ProcessLookupError, PermissionError):
            continue
        if share:
            found["kernel_mb" if "typescript-kernel" in words else "server_mb"] += int(share.group(1)) * 1024 / 1e6
    return found


def longest(folder):
    """The lesson with the most code cells, and the one after it."""
    names = sorted(n for n in os.listdir(folder) if n.endswith(".ipynb"))
    def cells(name):
        with open(os.path.join(folder, name)) as file:
            return sum(c["cell_type"] == "code" for c in json.load(file)["cells"])
    at = max(range(len(names)), key=lambda i: cells(names[i]))
    return names[at], names[(at + 1) % len(names)]


async def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--address", default="http://127.0.0.1:8000")
    options.add_argument("--students", required=True)
    options.add_argument("--count", type=int)
    options.add_argument("--first", action="store_true", help="the first cell of the first lesson alone, from the log-in on")
    options.add_argument("--json")
    given = options.parse_args()
    host = urllib.parse.urlparse(given.address).hostname
    if host not in ("127.0.0.1", "localhost", "::1"):
        options.error(f"--address is {given.address}, expected this machine: a load is put on nobody else's")
    with open(given.students) as file:
        names = [line.strip() for line in file if line.strip()][: given.count]
    AsyncHTTPClient.configure(None, max_clients=200, max_body_size=2**28)
    lessons = longest(ROOT / "notebooks")

    class Gate:
        """Holds everyone until all servers run, or the slowest has failed: the lesson then begins for all at once."""
        waiting = set(names)
        event = asyncio.Event()

        def arrived(self, name):
            self.waiting.discard(name)
            if not self.waiting:
                self.event.set()

    gate = Gate()

    async def one(name):
        student = Student(given.address.rstrip("/"), name)

        class Ready:
            async def wait(self):
                gate.arrived(name)
                await gate.event.wait()

        try:
            done = await (first_cell(student, LESSON) if given.first else work(student, lessons, Ready()))
            return {"name": name, **done}
        except Exception as error:  # one student's failure is a result, not the end of the class
            return {"name": name, "failed": f"{type(error).__name__}: {error}"}
        finally:
            gate.arrived(name)

    before = processor()
    results = await asyncio.gather(*(one(name) for name in names))
    used = processor() - before
    good = [r for r in results if "failed" not in r]
    print(f"lesson {LESSON if given.first else lessons[0]}, {len(names)} students")
    for key, unit in (("log_in", "s"), ("server", "s"), ("first_figure", "s"), ("whole", "s"), ("kernel_mb", "MB"), ("server_mb", "MB")):
        values = sorted(r[key] for r in good if r.get(key) is not None)
        if values:
            print(f"{key:>13}: median {values[len(values) // 2]:.1f} {unit}, worst {values[-1]:.1f} {unit}")
    shares = ", ".join(f"{kind} {seconds / len(names):.2f}" for kind, seconds in used.most_common())
    print(f"processor time, s per student: {shares}")
    for r in results:
        if "failed" in r:
            print(f"{r['name']}: {r['failed']}")
    if given.json:
        with open(given.json, "w") as file:
            json.dump(results, file, indent=1)
    print(f"{len(good)} passed, {len(results) - len(good)} failed")
    return 0 if len(good) == len(results) else 1


if __name__ == "__main__":
    raise SystemExit(asyncio.run(main()))
