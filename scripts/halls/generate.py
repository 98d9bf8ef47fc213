"""Makes shows: python generate.py FOLDER FIRST COUNT SEED [FAULT]. Each in a folder of its number, with truth.json beside."""

import sys
from pathlib import Path

import numpy as np

import show

if __name__ == "__main__":
    folder, first, count, seed = Path(sys.argv[1]), *map(int, sys.argv[2:5])
    for number in range(first, first + count):
        plan = show.draw(np.random.SeedSequence([seed, number]).generate_state(1)[0])
        show.make(plan, folder / f"{number:04d}")
