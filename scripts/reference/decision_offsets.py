"""Balance and level offsets of an invented hall, computed apart from the library: numpy for the field and the band
means (a dense integral over log frequency of the power as it runs between the grid's points), scipy.optimize for the
three offsets, alignment by trying every 2 microseconds.
"""

import numpy as np
from scipy import optimize
from table import write

C = 343.0
FREQUENCY = np.geomspace(20, 16000, 240)
MAINS = [{"x": 0, "y": 6, "z": 8, "level": 10}, {"x": 0, "y": -6, "z": 8, "level": 10}]
SUBS = [{"x": 0.5, "y": 4, "z": 0, "level": 12}, {"x": 0.5, "y": -4, "z": 0, "level": 12}]
# A rear wall at x = 32 m and a side wall at y = 14 m, each as an image 3 dB softer.
IMAGES = [lambda s: {**s, "x": 64 - s["x"], "level": s["level"] - 3}, lambda s: {**s, "y": 28 - s["y"], "level": s["level"] - 3}]
PLACES = [
    {"x": 3, "y": 0, "z": 1.2, "people": 20},
    {"x": 6, "y": 4, "z": 1.2, "people": 35},
    {"x": 9, "y": -5, "z": 1.2, "people": 40},
    {"x": 13, "y": 1, "z": 1.5, "people": 55},
    {"x": 18, "y": 8, "z": 2.0, "people": 60},
    {"x": 23, "y": -9, "z": 2.6, "people": 45},
    {"x": 28, "y": 2, "z": 3.1, "people": 25},
]
SETTINGS = [
    {"lowBand": [31.5, 80], "midBand": [500, 2000], "targetTilt": 6, "polarity": 1, "delay": 0},
    {"lowBand": [40, 100], "midBand": [630, 1600], "targetTilt": 9, "polarity": -1, "delay": 0.0031},
]


def response(sources, place):
    everything = sources + [image(s) for image in IMAGES for s in sources]
    total = np.zeros(len(FREQUENCY), complex)
    for s in everything:
        r = np.sqrt((place["x"] - s["x"]) ** 2 + (place["y"] - s["y"]) ** 2 + (place["z"] - s["z"]) ** 2)
        total += 10 ** (s["level"] / 20) / r * np.exp(-2j * np.pi * FREQUENCY * r / C)
    return total


def third_edges(lowest, highest):
    """IEC 61260-1, base ten: the third octave nearest to a nominal frequency."""
    index = lambda f: round(10 * np.log10(f / 1000))
    return 1000 * 10 ** ((index(lowest) - 0.5) / 10), 1000 * 10 ** ((index(highest) + 0.5) / 10)


def band_mean(power, lower, upper):
    x = np.linspace(np.log(lower), np.log(upper), 200001)
    y = np.interp(x, np.log(FREQUENCY), power)
    return np.trapezoid(y, x) / (x[-1] - x[0])


def solve(setting):
    turn = setting["polarity"] * np.exp(-2j * np.pi * FREQUENCY * setting["delay"])
    mains = [response(MAINS, p) for p in PLACES]
    subs = [turn * response(SUBS, p) for p in PLACES]
    low, mid = third_edges(*setting["lowBand"]), third_edges(*setting["midBand"])
    middle = np.array([band_mean(np.abs(m) ** 2, *mid) for m in mains])
    a = np.array([band_mean(np.abs(m) ** 2, *low) for m in mains]) / middle
    b = np.array([band_mean((m * s.conj()).real, *low) for m, s in zip(mains, subs)]) / middle
    c = np.array([band_mean(np.abs(s) ** 2, *low) for s in subs]) / middle
    people = np.array([p["people"] for p in PLACES])
    weights = people / people.sum()

    def deviation(offset):
        g = 10 ** (offset / 20)
        return 10 * np.log10(a + 2 * g * b + g * g * c) - setting["targetTilt"]

    costs = {
        "least mean": lambda o: np.sum(weights * np.abs(deviation(o))),
        "least mean square": lambda o: np.sqrt(np.sum(weights * deviation(o) ** 2)),
        "least worst": lambda o: np.max(np.abs(deviation(o))),
    }
    answers = {}
    for name, cost in costs.items():
        start = min(np.arange(-30, 30.01, 0.02), key=cost)
        found = optimize.minimize_scalar(cost, bounds=(start - 0.05, start + 0.05), method="bounded", options={"xatol": 1e-9})
        answers[name] = {"offset_db": round(float(found.x), 5), "cost_db": round(float(found.fun), 7)}
    return {
        "setting": setting,
        # From the sum itself, not from a, b and c.
        "balance_db": [
            round(float(10 * np.log10(band_mean(np.abs(m + 10**0.2 * s) ** 2, *low) / mm)), 7)
            for m, s, mm in zip(mains, subs, middle)
        ],
        "offsetOfBalance_db": 4,
        "answers": answers,
    }


def align(place, lower, upper):
    """Best delay and polarity for one place, by trying them all; band limits are grid points, plain trapezoid."""
    inside = (FREQUENCY >= lower) & (FREQUENCY <= upper)
    f, m, s = FREQUENCY[inside], response(MAINS, place)[inside], response(SUBS, place)[inside]
    mean = lambda power: np.trapezoid(power, np.log(f)) / np.log(f[-1] / f[0])
    ideal = mean((np.abs(m) + np.abs(s)) ** 2)
    delays = np.arange(-0.012, 0.012, 2e-6)
    best = []
    for polarity in (1, -1):
        for delay in delays:
            total = mean(np.abs(m + polarity * s * np.exp(-2j * np.pi * f * delay)) ** 2)
            best.append((10 * np.log10(ideal / total), delay, polarity))
    loss, delay, polarity = min(best)
    as_is = 10 * np.log10(ideal / mean(np.abs(m + s) ** 2))
    return {
        "place": PLACES.index(place),
        "band": [float(f[0]), float(f[-1])],
        "delay_ms": round(float(delay) * 1000, 3),
        "polarity": polarity,
        "loss_db": round(float(loss), 6),
        "current_db": round(float(as_is), 6),
    }


def main():
    grid = [float(f) for f in (FREQUENCY[(FREQUENCY > 50)][0], FREQUENCY[FREQUENCY < 130][-1])]
    result = {
        "speedOfSound": C,
        "mains": MAINS,
        "subs": SUBS,
        "places": PLACES,
        "solutions": [solve(s) for s in SETTINGS],
        "alignments": [align(PLACES[i], *grid) for i in (0, 3, 6)],
    }
    write("decision", "decision_offsets", result)


main()
