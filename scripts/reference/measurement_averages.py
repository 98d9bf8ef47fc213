"""Interpolation, averages and spread by numpy and scipy, of invented responses."""

import numpy as np
from scipy.interpolate import CubicHermiteSpline
from table import write

random = np.random.default_rng(11)


def pairs(z):
    return {"re": np.real(z).round(12).tolist(), "im": np.imag(z).round(12).tolist()}


# Interpolation: cubic Hermite over log frequency, slopes of the parabola through three points.
f = np.array([20.0, 25.0, 31.0, 40.0, 49.0, 63.0, 80.0, 100.0])
phase = np.cumsum(random.uniform(-0.8, 0.8, f.size))
z = (random.uniform(0.5, 1.5, f.size) * np.exp(1j * phase)).round(12)
x = np.log2(f)
wanted = np.array([20.0, 21.0, 30.0, 31.0, 44.4, 61.7, 90.0, 99.0, 100.0])
slopes = [np.gradient(part, x, edge_order=2) for part in (z.real, z.imag)]
curve = [CubicHermiteSpline(x, part, slope)(np.log2(wanted)) for part, slope in zip((z.real, z.imag), slopes)]
interpolation = {
    "frequency": f.tolist(),
    "response": pairs(z),
    "wanted": wanted.tolist(),
    "expected": pairs(curve[0] + 1j * curve[1]),
}

# Averages over five places at four frequencies, with weights and coherence.
h = random.normal(0, 1, (5, 4)) + 1j * random.normal(0, 1, (5, 4))
h = h.round(12)
coherence = random.uniform(0.1, 1, (5, 4)).round(6)
weights = np.array([1.0, 3.0, 0.0, 2.0, 0.5])
square = np.abs(h) ** 2
averages = {
    "responses": [pairs(row) for row in h],
    "coherence": coherence.tolist(),
    "weights": weights.tolist(),
    "power": np.sqrt(np.average(square, axis=0, weights=weights)).tolist(),
    "complex": pairs(np.average(h, axis=0, weights=weights)),
    "decibel": np.average(20 * np.log10(np.abs(h)), axis=0, weights=weights).tolist(),
    "coherenceWeighted": [
        float(np.sqrt(np.average(square[:, i], weights=weights * coherence[:, i]))) for i in range(4)
    ],
    "limit": 0.4,
    "powerAboveLimit": np.sqrt(
        np.ma.average(np.ma.masked_array(square, coherence < 0.4), axis=0, weights=weights)
    ).tolist(),
    "levelDeviation": np.std(20 * np.log10(np.abs(h)), axis=0, ddof=1).tolist(),
}

write("measurement", "averages", {"interpolation": interpolation, "averages": averages})
