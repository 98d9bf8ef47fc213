"""What the generators beside this file share. Each is run as `python NAME.py [OUTPUT_ROOT]` and writes its tables to
OUTPUT_ROOT/tests/ROOM/reference/, by default into this repository; `npm run references` runs all and compares."""

import json
import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]


def place(room):
    """The folder of a room's tables."""
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else ROOT) / "tests" / room / "reference"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def write(room, name, table, indent=1):
    (place(room) / f"{name}.json").write_text(json.dumps(table, indent=indent) + "\n")


def digits(x, n=12):
    """Rounded to so many significant digits; no negative zero."""
    return [float(f"{v:.{n}g}") + 0.0 for v in np.ravel(x)]
