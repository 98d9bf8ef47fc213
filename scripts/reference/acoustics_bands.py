"""Mid-band frequencies and edges by pyfar; smoothing by a dense numerical integral of numpy's own interpolation."""

import numpy as np
import pyfar as pf
from table import digits, write


def third_octaves():
    mid, lower, upper = pf.constants.fractional_octave_frequencies_exact(3, (20, 20000))
    nominal = pf.constants.fractional_octave_frequencies_nominal(3, (20, 20000))
    return {"nominal": digits(nominal, 10), "exact": digits(mid, 10), "lower": digits(lower, 10), "upper": digits(upper, 10)}


def smooth(frequency, values, n):
    """Mean over 2^(±1/2n) about each frequency, narrower on both sides alike toward the grid's ends."""
    x = np.log2(frequency)
    half = np.minimum(0.5 / n, np.minimum(x - x[0], x[-1] - x))
    result = values.copy()
    for i in range(1, len(x) - 1):
        u = np.linspace(x[i] - half[i], x[i] + half[i], 200_001)
        v = np.interp(u, x, values)
        result[i] = np.mean((v[1:] + v[:-1]) / 2)
    return result


def main():
    random = np.random.default_rng(7)
    uniform = np.arange(1, 65) * 15.625
    uneven = np.sort(20 * 1000 ** random.random(50))
    rows = []
    for name, frequency in [("uniform", uniform), ("uneven", uneven)]:
        frequency = np.array(digits(frequency, 10))
        values = np.array(digits(random.exponential(size=len(frequency)), 6))
        for n in [1, 3, 24]:
            rows.append(
                {
                    "grid": name,
                    "n": n,
                    "frequency": digits(frequency, 10),
                    "values": digits(values, 6),
                    "smoothed": digits(smooth(frequency, values, n), 8),
                }
            )
    table = {"thirds": third_octaves(), "smoothing": rows}
    write("acoustics", "acoustics_bands", table)


main()
