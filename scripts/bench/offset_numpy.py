"""The searches of offset.ts in numpy, vectorised over seats (and over offsets on grids); see there.

Reads a task per line ("offset" or "joint") and answers with the time it took and the least costs found.
"""

import sys

import numpy as np
from peer import serve
from scipy.optimize import minimize_scalar

GOLDEN = (np.sqrt(5) - 1) / 2
TARGET = 10 ** (6 / 10)

data = np.fromfile(sys.argv[1]).reshape(-1, int(sys.argv[2]))
n = (len(data) - 3) // 4
frequency, low, mid = data[0], data[1], data[2]
mains = data[3 : 3 + 2 * n : 2] + 1j * data[4 : 4 + 2 * n : 2]
subs = data[3 + 2 * n :: 2] + 1j * data[4 + 2 * n :: 2]


def band(weight):
    inside = np.flatnonzero(weight)
    return slice(inside[0], inside[-1] + 1)


# Both sides begin with the whole survey in memory; a band is a view of it.
low_band, mid_band = band(low), band(mid)
m_low, s_low, w_low = mains[:, low_band], subs[:, low_band], low[low_band]
m_mid, w_mid = mains[:, mid_band], mid[mid_band]
f_low = frequency[low_band]
weights = np.full(n, 1 / n)


def square(z):
    return z.real**2 + z.imag**2


def forms():
    scale = 1 / (square(m_mid) @ w_mid * TARGET)
    a = square(m_low) @ w_low * scale
    b = (m_low.real * s_low.real + m_low.imag * s_low.imag) @ w_low * scale
    c = square(s_low) @ w_low * scale
    return a, b, c, scale


def deviation(a, b, c, offset):
    g = 10 ** (offset / 20)
    return 10 * np.log10(np.maximum(a + g * (2 * b + g * c), 1e-20))


def mean_cost(d, w=weights):
    return np.abs(d) @ w


def rms_cost(d, w=weights):
    return np.sqrt((d * d) @ w)


def worst_cost(d, w=weights):
    return np.abs(d).max(axis=-1)


def lowest_between(cost, a, b, tolerance):
    """Brent's method, as ours has it; scipy's is the same one in Python."""
    found = minimize_scalar(cost, bounds=(a, b), method="bounded", options={"xatol": tolerance})
    return found.x, found.fun


def refine(cost, grid, costs, tolerance):
    best = min(zip(costs, grid))
    best = (best[1], best[0])
    last = len(grid) - 1
    for i in range(last + 1):
        left, right = max(0, i - 1), min(last, i + 1)
        if costs[i] > costs[left] or costs[i] > costs[right]:
            continue
        found = lowest_between(cost, grid[left], grid[right], tolerance)
        if found[1] < best[1]:
            best = found
    return best


def minimise(cost, low_end, high_end, step, tolerance):
    grid = np.linspace(low_end, high_end, max(1, int(np.ceil((high_end - low_end) / step))) + 1)
    return refine(cost, grid, [cost(x) for x in grid], tolerance)


def task_offset():
    a, b, c, _ = forms()

    def worst_at(offset):
        # The extremes of the ratio need but two logarithms.
        g = 10 ** (offset / 20)
        ratio = a + g * (2 * b + g * c)
        return max(10 * np.log10(ratio.max()), -10 * np.log10(max(ratio.min(), 1e-20)))

    grid = np.linspace(-30, 30, 121)
    table = deviation(a, b, c, grid[:, None])
    # What the curve of costs holds beside the three criteria.
    _ = (np.abs(table) <= 3) @ weights, (np.abs(table) <= 6) @ weights
    found = []
    for measure in (mean_cost, rms_cost, worst_cost):
        costs = measure(table)
        cost = worst_at if measure is worst_cost else (lambda x, m=measure: m(deviation(a, b, c, x)))
        found.append(refine(cost, grid, costs, 1e-5)[1])
    return found


class Joint:
    def __init__(self, a, c, cross, scale):
        self.a, self.c, self.cross, self.scale = a, c, cross, scale
        self.w = np.full(len(a), 1 / len(a))

    def turn(self, delay, sign):
        turned = np.exp(2j * np.pi * f_low * delay)
        # Two real products: only the real part is wanted.
        help_ = self.cross.real @ turned.real - self.cross.imag @ turned.imag
        self.b = sign * self.scale * help_

    def best(self, delay, sign, near, step, tolerance):
        self.turn(delay, sign)
        return minimise(
            lambda x: rms_cost(deviation(self.a, self.b, self.c, x), self.w), *near, step, tolerance
        )

    def dips(self, low_end, high_end):
        count = max(1, int(np.ceil((high_end - low_end) * 12 * f_low[-1])))
        delays = np.linspace(low_end, high_end, count + 1)
        offsets = np.arange(-30, 31, 2.0)
        found = []
        for sign in (1, -1):
            line = []
            for delay in delays:
                self.turn(delay, sign)
                costs = rms_cost(deviation(self.a, self.b, self.c, offsets[:, None]), self.w)
                k = int(np.argmin(costs))
                line.append((costs[k], offsets[k], delay))
            for i, dip in enumerate(line):
                left = line[i - 1][0] if i else np.inf
                right = line[i + 1][0] if i < count else np.inf
                if dip[0] <= left and dip[0] < right:
                    found.append((*dip, sign, delays[1] - delays[0], 3))
        return sorted(found)

    def refine(self, dip, low_end, high_end):
        _, offset, delay, sign, step, reach = dip
        near = (max(-30, offset - reach), min(30, offset + reach))
        a, b = max(low_end, delay - step), min(high_end, delay + step)
        delay, _ = minimise(lambda d: self.best(d, sign, near, 2, 1e-2)[1], a, b, (b - a) / 2, 1e-5)
        offset, cost = self.best(delay, sign, near, 0.5, 1e-4)
        return cost, offset, delay, sign


def task_joint():
    a, _, c, scale = forms()
    cross = m_low * s_low.conj() * w_low
    chosen = np.unique((np.arange(400) * GOLDEN % 1 * n).astype(int))
    few = Joint(a[chosen], c[chosen], cross[chosen], scale[chosen])
    all_seats = Joint(a, c, cross, scale)
    ends = (-0.02, 0.02)
    dips = few.dips(*ends)[:6]
    near = []
    for found in sorted(few.refine(d, *ends) for d in dips):
        if all(f[3] != found[3] or abs(f[2] - found[2]) > 5e-5 for f in near):
            near.append(found)
    fine = [all_seats.refine((*f, 2e-4, 1), *ends) for f in near[:3]]
    return [min(fine)[0]]


serve({"offset": task_offset, "joint": task_joint})
