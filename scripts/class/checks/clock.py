"""The clock of the machine jumps while a class works: a day on, a day back, and right again. Nothing that was saved is lost.

As root, with Debian's package faketime installed and no other class of this folder running:

    .venv-class/bin/python scripts/class/checks/clock.py --students FILE --folder FOLDER [--port 8400]

It starts a class of its own whose hub, proxy, students' servers and kernels all read a clock from a file (libfaketime); the
times of files, which the kernel of the system writes, do not jump with it, and neither does the browser.
"""

import argparse
import asyncio
import glob
import os
import signal
import subprocess
import time

from student import LESSON, ROOT, Student, need

DAY = 24 * 3600


def start_class(given, clock):
    [library] = glob.glob("/usr/lib/*/faketime/libfaketimeMT.so.1")
    faked = {
        "LD_PRELOAD": library,
        "FAKETIME_TIMESTAMP_FILE": clock,
        "FAKETIME_CACHE_DURATION": "1",
        # A real jump leaves the clock that counts from the machine's start alone.
        "DONT_FAKE_MONOTONIC": "1",
        "FAKETIME_DONT_FAKE_MONOTONIC": "1",
    }
    passwords = os.path.join(given.folder, "passwords")
    with open(passwords, "w") as file:
        file.writelines(f"{name} a password of {name}\n" for name in given.names)
    words = ["node", os.path.join(ROOT, "scripts", "class", "class.mjs"), "--students", given.students, "--folder", given.folder,
             "--port", str(given.port), "--idle", "60", "--teacher", "clock-teacher", "--passwords", passwords]
    process = subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, text=True,
                               env={**os.environ, **faked, "EVENGROUND_CLASS_KEEP": ",".join(faked)})
    for line in process.stdout:
        if "The class is open" in line:
            return process
    raise RuntimeError("the class did not start")


def jump(clock, seconds):
    with open(clock, "w") as file:
        file.write(f"{seconds:+d}\n")


async def hour_in_kernel(student):
    status, outputs, _ = await asyncio.wait_for(student.run("console.log(Date.now())"), 60)
    need(status == "ok", f"the kernel answers {status}")
    return float(outputs[0]["text"]) / 1000


async def after_jump(given, student, clock, seconds, name):
    """What the student finds after the jump, at once and after the hub has looked for idle servers."""
    before = f"before {name}"
    await student.mark(before)
    jump(clock, seconds)
    await asyncio.sleep(3)
    shift = await hour_in_kernel(student) - time.time()
    need(abs(shift - seconds) < 60, f"the clock of the kernel is off by {shift:.0f} s, not by {seconds}: nothing was tried")
    need(await student.marked() == before, "what was saved is gone")
    await student.mark(name)
    await asyncio.sleep(80)  # the culler looks once a minute
    answer = await student.ask(student.base + "api/status")
    ended = answer.code != 200
    begin = time.time()
    if ended:
        await student.start_server()
    need(await student.marked() == name, "what was saved is gone")
    try:
        await hour_in_kernel(student)
        kernel = "the kernel goes on"
    except Exception:
        student.socket.close()
        await student.start_kernel(LESSON)
        await hour_in_kernel(student)
        kernel = "a new kernel"
    newcomer = Student(student.address, given.names.pop())
    await newcomer.log_in()
    await newcomer.start_server()
    need((await newcomer.open(LESSON))["content"]["cells"], "a newcomer finds no lesson")
    server = "the server was ended as idle and is started again" if ended else "the server goes on"
    return f"{server}, {kernel}, {time.time() - begin:.0f} s; log-in works"


async def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--students", required=True)
    options.add_argument("--folder", required=True)
    options.add_argument("--port", type=int, default=8400)
    given = options.parse_args()
    with open(given.students) as file:
        given.names = [line.strip() for line in file if line.strip()]
    need(len(given.names) >= 4, "four names are needed")
    os.makedirs(given.folder, exist_ok=True)
    clock = os.path.join(given.folder, "clock")
    jump(clock, 0)
    os.chmod(clock, 0o644)
    process = start_class(given, clock)
    failed = 0
    jumps = [("a day on", DAY), ("two days back", -DAY), ("right again", 0)]
    try:
        student = Student(f"http://127.0.0.1:{given.port}", given.names.pop())
        await student.log_in()
        await student.start_server()
        await student.start_kernel(LESSON)
        await hour_in_kernel(student)
        for name, seconds in jumps:
            try:
                print(f"clock, {name}: nothing saved is lost; {await after_jump(given, student, clock, seconds, name)}", flush=True)
            except Exception as error:
                failed += 1
                print(f"clock, {name}: {type(error).__name__} {error}", flush=True)
    finally:
        process.send_signal(signal.SIGINT)
        process.wait(60)
    print(f"{len(jumps) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(asyncio.run(main()))
