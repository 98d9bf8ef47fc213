"""Waves on a grid of cubes by numpy, and by numba where it is installed, on one thread. Usage: waves_peer.py FILE LENGTH; tasks on stdin.

The file holds the cubes along a side, the steps, the fields, the steps after which a few pressures are looked at, and the square of
what sound crosses in a step. The same nineteen points, in single precision; each field by itself.
"""

import os
import sys

os.environ["OMP_NUM_THREADS"] = os.environ["OPENBLAS_NUM_THREADS"] = "1"

import numpy as np
from peer import serve

data = np.fromfile(sys.argv[1])
N, STEPS, FIELDS, LOOK = (int(n) for n in data[:4])
Q = data[4]
OWN, FACE, EDGE = np.float32(2 - 4 * Q), np.float32(Q / 3), np.float32(Q / 6)


def by_numpy(u, v):
    """Sums of rows, then of layers, each used twice."""
    c = slice(1, -1)
    row = u[:, :-2] + u[:, 2:]
    across = u[:-2] + u[2:]
    faces = row[c, :, c] + across[:, c, c] + u[c, c, :-2] + u[c, c, 2:]
    both = row[c] + across[:, c]
    edges = both[:, :, :-2] + both[:, :, 2:] + row[:-2, :, c] + row[2:, :, c]
    v[c, c, c] = OWN * u[c, c, c] + FACE * faces + EDGE * edges - v[c, c, c]


try:
    import numba

    @numba.njit(fastmath=True)
    def by_numba(u, v):
        for k in range(1, u.shape[0] - 1):
            for j in range(1, u.shape[1] - 1):
                for i in range(1, u.shape[2] - 1):
                    faces = u[k, j, i - 1] + u[k, j, i + 1] + u[k, j - 1, i] + u[k, j + 1, i] + u[k - 1, j, i] + u[k + 1, j, i]
                    edges = u[k, j - 1, i - 1] + u[k, j - 1, i + 1] + u[k, j + 1, i - 1] + u[k, j + 1, i + 1]
                    edges += u[k - 1, j, i - 1] + u[k - 1, j, i + 1] + u[k + 1, j, i - 1] + u[k + 1, j, i + 1]
                    edges += u[k - 1, j - 1, i] + u[k - 1, j + 1, i] + u[k + 1, j - 1, i] + u[k + 1, j + 1, i]
                    v[k, j, i] = OWN * u[k, j, i] + FACE * faces + EDGE * edges - v[k, j, i]

except ImportError:
    by_numba = None


def fields(step):
    seen = None
    for _ in range(FIELDS):
        u, v = np.zeros((2, N + 2, N + 2, N + 2), np.float32)
        middle = 1 + N // 2
        u[middle, middle, middle] = 1
        for n in range(STEPS):
            if n == LOOK:
                seen = [u[middle, middle, middle + d] for d in range(4)]
            step(u, v)
            u, v = v, u
    return seen


def triad():
    """Moves as many bytes as a step does where nothing stays in a cache: twelve for each cube and field."""
    x, y, z = np.ones((3, (N + 2) ** 3), np.float32)
    for _ in range(STEPS * FIELDS):
        np.add(y, z, out=x)
    return [x[0]]


serve(
    {
        "numpy": lambda: fields(by_numpy),
        "numba": lambda: fields(by_numba),
        "triad": triad,
        "has numba": lambda: [0 if by_numba is None else 1],
    }
)
