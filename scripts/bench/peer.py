"""The other side of peer-process.ts: each line names a task and is answered with its time and a few figures of its result."""

import json
import sys
import time


def serve(tasks, figures=lambda result: result):
    for line in sys.stdin:
        start = time.perf_counter()
        result = tasks[line.strip()]()
        seconds = time.perf_counter() - start
        print(json.dumps({"seconds": seconds, "figures": [float(x) for x in figures(result)]}), flush=True)
