"""The trials of layouts.ts in numpy: the same candidates from the same fields, seats and frequencies; see there.

Sums over units for one candidate at a time over all seats and frequencies at once, then the offset by a grid vectorised over seats and
offsets, refined by Brent's method. Each line names a task and is answered with its time and the deviations found.
"""

import sys

import numpy as np
from peer import serve
from scipy.optimize import minimize_scalar

flat = np.fromfile(sys.argv[1])
at = 0


def take(*shape):
    global at
    count = int(np.prod(shape))
    part = flat[at : at + count].reshape(shape)
    at += count
    return part


units, rows, seats, columns, candidates, most = take(6).astype(int)
frequency, weight = take(columns), take(columns)
share, low, scale = take(seats), take(seats), take(seats)
mains = np.ascontiguousarray((take(columns, seats) + 1j * take(columns, seats)).T)
# Seats by frequencies suits numpy better: the mean over the band is then one product.
transfer = take(units, columns, rows) + 1j * take(units, columns, rows)
transfer = np.ascontiguousarray(transfer.transpose(0, 2, 1))
# unit (−1 for none), gain as a factor with its sign, delay
genes = take(candidates, most, 3)
turn = -2j * np.pi * frequency
grid = np.linspace(-30, 30, 16)
factors = 10 ** (grid / 20)[:, None]


def cost(g, a, b, c):
    d = 10 * np.log10(np.maximum(a + g * (2 * b + g * c), 1e-20))
    return np.sqrt((d * d) @ share)


def trial(gene):
    gene = gene[gene[:, 0] >= 0]
    chosen = gene[:, 0].astype(int)
    coefficients = gene[:, 1, None] * np.exp(gene[:, 2, None] * turn)
    total = transfer[chosen[0]] * coefficients[0]
    for unit, coefficient in zip(chosen[1:], coefficients[1:]):
        total += transfer[unit] * coefficient
    subs = (total.real**2 + total.imag**2) @ weight
    heard = total[:seats]
    b = (mains.real * heard.real + mains.imag * heard.imag).sum(axis=1) * scale
    a, c = low * scale, subs[:seats] * scale
    costs = cost(factors, a, b, c)
    best = costs.min()
    for i in np.flatnonzero(np.r_[True, costs[1:] <= costs[:-1]] & np.r_[costs[:-1] <= costs[1:], True]):
        ends = grid[max(i - 1, 0)], grid[min(i + 1, len(grid) - 1)]
        found = minimize_scalar(
            lambda x: cost(10 ** (x / 20), a, b, c), bounds=ends, method="bounded", options={"xatol": 5e-3}
        )
        best = min(best, found.fun)
    spill = subs[seats:].mean() / (subs[:seats] @ share) if rows > seats else 0.0
    return best, 10 * np.log10(spill)


serve({"trials": lambda: [trial(gene) for gene in genes]}, lambda found: [x for pair in found for x in pair])
