"""A student whose server runs in the image: logs in, and runs the first cell of a lesson there (scripts/class/checks/image.ts)."""

import asyncio
import json
import sys
import time

from student import LESSON, Student, need


async def main(address, name):
    student = Student(address, name)
    start = time.time()
    await student.log_in()
    await student.start_server()
    kernels = json.loads((await student.ask(student.base + "api/kernelspecs")).body)["kernelspecs"]
    need(list(kernels) == ["tslab"], f"kernels are {', '.join(kernels)}")
    notebook = (await student.open(LESSON))["content"]
    await student.start_kernel(LESSON)
    cell = next(c for c in notebook["cells"] if c["cell_type"] == "code")
    status, outputs, figure = await student.run("".join(cell["source"]))
    need(status == "ok" and figure, f"the first cell of {LESSON}: {status} {json.dumps(outputs)[-300:]}")
    status, outputs, _ = await student.run(
        "console.log(JSON.stringify({ user: process.getuid?.(), home: process.env.HOME, node: process.version }));")
    need(status == "ok", f"who runs it: {status} {json.dumps(outputs)[-300:]}")
    who = json.loads("".join(o.get("text", "") for o in outputs))
    need(who["user"] == 1000 and who["home"] == "/home/jovyan", f"the kernel runs as {who}")
    await student.mark("kept")
    need(await student.marked() == "kept", "what was saved is not there")
    await student.stop_kernel()
    print(f"{name}: first figure {time.time() - start:.0f} s after the log-in, {who}, saved and read back")


asyncio.run(main(*sys.argv[1:]))
