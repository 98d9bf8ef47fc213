"""What a student of a running class loses when something falls over: nothing that was saved.

As root, beside `npm run class`, with a student who has no server yet or whose work may be written into:

    .venv-class/bin/python scripts/class/checks/faults.py --address http://127.0.0.1:8000 --student NAME --folder CLASS-FOLDER
"""

import argparse
import asyncio
import json
import os
import pwd
import signal
import subprocess
import tempfile
import time

from student import LESSON, ROOT, Student, need


def processes(word, user=None):
    """Ids of processes of this class: by a word of their command line, and their account."""
    found = []
    for name in filter(str.isdigit, os.listdir("/proc")):
        try:
            with open(f"/proc/{name}/cmdline") as file:
                line = file.read()
            if word in line and (user is None or os.stat(f"/proc/{name}").st_uid == user):
                found.append(int(name))
        except (FileNotFoundError, ProcessLookupError):
            pass
    return found


async def until(work, seconds):
    """Tries again until it works; how long that took."""
    start = time.time()
    while True:
        try:
            await work()
            return time.time() - start
        except Exception:
            if time.time() - start > seconds:
                raise
            await asyncio.sleep(0.5)


async def works_anew(student):
    student.socket.close()
    await student.start_kernel(LESSON)
    # A kernel that is about to be restarted takes the cell along; the next one answers at once.
    status, _, _ = await asyncio.wait_for(student.run("1 + 1"), 8)
    need(status == "ok", status)


async def kernel_killed(student, given):
    user = pwd.getpwnam(student.name).pw_uid
    await student.start_kernel(LESSON)
    running = asyncio.create_task(student.run("for (const end = Date.now() + 20000; Date.now() < end; );"))
    await asyncio.sleep(3)
    for process in processes("typescript-kernel", user):
        os.kill(process, signal.SIGKILL)
    # The server starts the kernel anew and says so in the page; the cell's answer never comes.
    running.cancel()

    return await until(lambda: works_anew(student), 60)


async def out_of_memory(student, given):
    status, outputs, _ = "dead", [], None
    code = "const all: Float64Array[] = []; for (let i = 0; i < 400; i++) all.push(new Float64Array(2e6).fill(1));"
    await student.start_kernel(LESSON)
    try:
        status, outputs, _ = await asyncio.wait_for(student.run(code), 60)
    except Exception:
        pass
    need(status != "ok", "6.4 GB were given to one kernel")

    return await until(lambda: works_anew(student), 60)


async def server_killed(student, given):
    """Its kernels must not outlive it, even in the middle of a cell: nobody could reach or end them."""
    user = pwd.getpwnam(student.name).pw_uid
    await student.start_kernel(LESSON)
    running = asyncio.create_task(student.run("for (const end = Date.now() + 600000; Date.now() < end; );"))
    await asyncio.sleep(3)
    need(processes("typescript-kernel", user), "there is no kernel")
    for process in processes("jupyterhub.singleuser", user):
        os.kill(process, signal.SIGKILL)
    running.cancel()
    start = time.time()
    while left := processes("typescript-kernel", user):
        need(time.time() - start < 20, f"{len(left)} kernels outlive their server")
        await asyncio.sleep(0.5)

    async def back():
        await student.start_server()
        await works_anew(student)

    return await until(back, 120)


async def hub_killed(student, given):
    for process in processes(os.path.join("server", "jupyterhub_config.py")):
        os.kill(process, signal.SIGKILL)
    # Open notebooks go on while the hub is away.
    await student.mark("while the hub was away")
    return await until(lambda: reached(student, "/hub/health"), 90)


async def proxy_killed(student, given):
    with open(os.path.join(given.folder, "state", "proxy.pid")) as file:
        os.kill(int(file.readline()), signal.SIGKILL)
    return await until(lambda: reached(student, student.base + "api/status"), 90)


async def disk_full(student, given):
    small = os.path.join(given.folder, "work", student.name, "course", "small")
    account = pwd.getpwnam(student.name)
    os.makedirs(small, exist_ok=True)
    options = f"size=1m,uid={account.pw_uid},gid={account.pw_gid},mode=700"
    subprocess.run(["mount", "-t", "tmpfs", "-o", options, "small-disk", small], check=True)
    try:
        notebook = (await student.open(LESSON))["content"]
        notebook["cells"][0]["metadata"]["mark"] = "fits"
        await student.save(f"small/{LESSON}", notebook)
        notebook["cells"][0]["metadata"]["mark"] = "x" * 2_000_000
        try:
            await student.save(f"small/{LESSON}", notebook)
        except RuntimeError as error:
            need("answered 500" in str(error), f"the student is not told: {error}")
        else:
            raise RuntimeError("more was saved than the disk holds")
        kept = (await student.open(f"small/{LESSON}"))["content"]
        need(kept["cells"][0]["metadata"]["mark"] == "fits", "the earlier version is gone")
        notebook["cells"][0]["metadata"]["mark"] = "fits again"
        await student.save(f"small/{LESSON}", notebook)
    finally:
        subprocess.run(["umount", "--lazy", small], check=True)
        os.rmdir(small)
    return 0.0


async def another_student(student, given):
    """Another account of the class tries to read what this one wrote, and what the hub keeps."""
    work = os.path.join(given.folder, "work")
    other = next(name for name in sorted(os.listdir(work)) if name != student.name)
    private = [os.path.join(work, student.name, "course", LESSON)]
    state = os.path.join(given.folder, "state")
    private += [os.path.join(state, name) for name in os.listdir(state)]
    for file in private:
        words = [f"--reuid={other}", f"--regid={other}", "--init-groups", "/bin/sh", "-c", 'cat "$0"', file]
        need(subprocess.run(["setpriv", *words], capture_output=True).returncode != 0, f"{other} can read {file}")
    stranger = Student(student.address, other)
    await stranger.log_in()
    answer = await stranger.ask(student.base + f"api/contents/{LESSON}")
    need(answer.code in (403, 404), f"{other} asks for {student.name}'s lesson and gets {answer.code}")
    return 0.0


async def reached(student, path):
    answer = await student.ask(path)
    need(answer.code == 200, f"{path} answered {answer.code}")


async def two_tabs(student, given):
    other = Student(student.address, student.name)
    await other.log_in()
    await other.start_server()
    first, second = (await student.open(LESSON)), (await other.open(LESSON))
    await student.mark("first tab")
    now = await other.open(LESSON)
    # JupyterLab compares this time before it saves, and asks the student which of the two shall stay.
    need(now["last_modified"] != second["last_modified"], "the second tab can't tell that the file has changed")
    return 0.0


async def course_updated(student, given):
    """The library is built anew and lessons are handed out again while this student's kernel runs."""
    await student.start_kernel(LESSON)
    await student.stop_kernel()  # whatever an earlier fault has left in it
    await student.start_kernel(LESSON)
    begin = """import { predict, read, venues } from "evenground";
const venue = read.venue("harbour-theatre"); const places = venues.seats(venue, { count: 20 });"""
    answers(await student.run(begin))
    build = await asyncio.create_subprocess_exec("node", os.path.join(ROOT, "scripts", "build.mjs"))
    while build.returncode is None:
        answers(await student.run("console.log(predict.survey(venue, places).mains.length);"))
        try:
            await asyncio.wait_for(build.wait(), 0.1)
        except asyncio.TimeoutError:
            pass
    need(build.returncode == 0, "the library was not built")
    # What is loaded only now, from the new library's folder.
    more = """import { dataFrame, draw, show } from "evenground";
show(draw.venue(venue)); show((await dataFrame([{ a: 1 }])).head(1));"""
    answers(await student.run(more))

    stamp = os.path.join(ROOT, "dist", ".stamp")
    with open(stamp) as file:
        made_from = file.read()
    try:
        with open(stamp, "w") as file:
            file.write("another library")
        status, outputs, _ = await student.run("(undefined as any).mains;")
        said = "".join(o.get("text", "") for o in outputs)
        need(status == "error" and "has been updated" in said and "Restart Kernel" in said, f"the student is told {said}")
    finally:
        with open(stamp, "w") as file:
            file.write(made_from)

    with tempfile.TemporaryDirectory() as newer:
        os.chmod(newer, 0o755)
        lessons = os.path.join(ROOT, "notebooks")
        for name in (n for n in os.listdir(lessons) if n.endswith(".ipynb")):
            with open(os.path.join(lessons, name)) as old, open(os.path.join(newer, name), "w") as new:
                lesson = json.load(old)
                lesson["metadata"]["edition"] = time.time()
                json.dump(lesson, new)
        work = os.path.join(given.folder, "work", student.name, "course")
        code = os.path.join(ROOT, "scripts", "work", "hand-out.mjs")
        call = f"console.log(JSON.stringify((await import({json.dumps(code)})).handOut({json.dumps(newer)}, {json.dumps(work)})))"
        as_student = [f"--reuid={student.name}", f"--regid={student.name}", "--init-groups", "--reset-env"]
        ran = subprocess.run(["setpriv", *as_student, "node", "--input-type=module", "-e", call], capture_output=True, text=True)
        need(ran.returncode == 0, ran.stderr[-300:])
        told = json.loads(ran.stdout)
        beside = {one["lesson"]: one["newVersion"] for one in told["beside"]}
        need(LESSON in beside, f"no new version of the changed lesson is beside it: {told}")
        need((await student.open(beside[LESSON]))["content"]["cells"], "the new version can't be opened")
    for _ in range(5):
        ran = await student.run("console.log(places.length);")
        if not ran[0].startswith("abort"):
            break
        await asyncio.sleep(0.3)  # the kernel drops what comes right after an error; a student runs it again
    answers(ran)
    return 0.0


def answers(ran):
    status, outputs, _ = ran
    need(status == "ok", f"a cell ends with {status}: {json.dumps(outputs)[-300:]}")


async def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--address", default="http://127.0.0.1:8000")
    options.add_argument("--student", required=True)
    options.add_argument("--folder", required=True)
    options.add_argument("--only", default="", help="faults whose name contains this")
    given = options.parse_args()
    if "127.0.0.1" not in given.address:
        options.error("only a class on this machine is broken on purpose")
    student = Student(given.address.rstrip("/"), given.student)
    await student.log_in()
    await student.start_server()
    failed = 0
    faults = [kernel_killed, out_of_memory, server_killed, hub_killed, proxy_killed, two_tabs, disk_full, another_student, course_updated]
    faults = [fault for fault in faults if given.only in fault.__name__.replace("_", " ")]
    for fault in faults:
        title = fault.__name__.replace("_", " ")
        try:
            mark = f"before {title}"
            await student.mark(mark)
            seconds = await fault(student, given)
            if fault in (hub_killed,):
                mark = "while the hub was away"
            if fault is two_tabs:
                mark = "first tab"
            need(await student.marked() == mark, "what was saved is gone")
            print(f"{title}: nothing saved is lost; at work again after {seconds:.1f} s", flush=True)
        except Exception as error:
            failed += 1
            print(f"{title}: {type(error).__name__} {error}", flush=True)
    print(f"{len(faults) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(asyncio.run(main()))
