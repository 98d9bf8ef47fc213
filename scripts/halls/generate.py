"""Makes shows: python generate.py FOLDER FIRST COUNT SEED [FAULT | seats | verify]. Each in a folder of its number, with truth.json beside.

FAULT is a number in the list of faults.py; "seats" asks for what is true at seats where no microphone stood, "verify" for recordings after
a setting was entered (entered.py).
"""

import sys
from pathlib import Path

import numpy as np

import entered
import faults
import show

if __name__ == "__main__":
    folder, first, count, seed = Path(sys.argv[1]), *map(int, sys.argv[2:5])
    more = sys.argv[5] if len(sys.argv) > 5 else None
    fault = list(faults.FAULTS)[int(more)] if more and more not in ("seats", "verify") else None
    for number in range(first, first + count):
        plan = show.draw(np.random.SeedSequence([seed, number]).generate_state(1)[0])
        if more == "seats":
            plan["seats"] = show.seats_of(plan)
        if more == "verify":
            show.make(entered.plan_of(plan), folder / f"{number:04d}", "", entered.HOOKS)
        elif fault:
            # Which fault it is must not hang on noise: that is what the healthy shows are for.
            plan.update(snr=max(plan["snr"], 20.0), seconds=16.0, rate=16000)
            if plan["signal"] == "music":
                plan["seconds"] = 25.0
            kind = faults.fault(fault)
            show.make(plan, folder / f"{number:04d}", kind["cause"], kind)
        else:
            show.make(plan, folder / f"{number:04d}", faults.any_cause())
