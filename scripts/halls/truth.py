"""What is true of a show, from its noise-free responses: levels, deviations, offset, arrivals."""

import numpy as np
from scipy.fft import rfft, rfftfreq
from scipy.optimize import minimize_scalar

THIRDS = {31.5: -15, 40: -14, 50: -13, 63: -12, 80: -11, 100: -10, 125: -9, 160: -8, 200: -7, 250: -6, 315: -5, 400: -4,
          500: -3, 630: -2, 800: -1, 1000: 0, 1250: 1, 1600: 2, 2000: 3, 2500: 4, 3150: 5, 4000: 6, 5000: 7}  # fmt: skip


def edges(lowest, highest):
    """Outer edges of a run of third octaves (IEC 61260-1: an octave is 10 ** 0.3)."""
    return 1000 * 10 ** (0.1 * THIRDS[lowest] - 0.05), 1000 * 10 ** (0.1 * THIRDS[highest] + 0.05)


class Spectra:
    """Transforms of impulse responses, and means of their products over log frequency."""

    def __init__(self, responses, rate):
        count = 2 ** int(np.ceil(np.log2(max(responses.shape[-1], 8 * rate))))
        self.frequency = rfftfreq(count, 1 / rate)
        self.values = rfft(responses, n=count)

    def mean(self, a, b, lower, upper):
        inside = (self.frequency >= lower) & (self.frequency < upper)
        weight = 1 / self.frequency[inside]
        product = np.real(self.values[a][:, inside] * np.conj(self.values[b][:, inside]))
        return (product * weight).sum(axis=1) / weight.sum()


def offset(responses, rate, people, tilt, low=(31.5, 80), middle=(500, 2000)):
    """Gain of the subs that leaves the audience the least mean square deviation from the target tilt, dB, and the deviations at 0 dB.

    Deviation of a position: level of mains and subs together in the low band, less that of the mains in the mid band, less the tilt.
    """
    spectra = Spectra(responses, rate)
    mains, cross, subs = (spectra.mean(a, b, *edges(*low)) for a, b in ((0, 0), (0, 1), (1, 1)))
    middle_power = spectra.mean(0, 0, *edges(*middle))
    weights = np.asarray(people, float) / np.sum(people)

    def deviations(gain_db):
        gain = 10 ** (gain_db / 20)
        return 10 * np.log10((mains + 2 * gain * cross + gain**2 * subs) / middle_power) - tilt

    def cost(gain_db):
        return (weights * deviations(gain_db) ** 2).sum()

    grid = np.arange(-30, 30.01, 0.25)
    start = grid[np.argmin([cost(x) for x in grid])]
    found = minimize_scalar(cost, bounds=(start - 0.3, start + 0.3), method="bounded", options={"xatol": 1e-6})
    return float(found.x), deviations(0.0)


def at_seats(responses, rate, crossover, low=(31.5, 80), middle=(500, 2000)):
    """What any level, polarity and delay of the subs follows from at each seat: powers in the bands, and mains with subs by the hertz."""
    spectra = Spectra(responses, rate)
    f = spectra.frequency
    # An octave in which the two meet.
    meets = (f >= crossover / np.sqrt(2)) & (f < crossover * np.sqrt(2))
    return {
        "balance": {
            **by_hertz(spectra, *inside_with_weights(f, *edges(*low))),
            "middle": spectra.mean(0, 0, *edges(*middle)).tolist(),
        },
        "meeting": by_hertz(spectra, meets, np.ones(meets.sum())),
    }


def inside_with_weights(f, lower, upper):
    """Frequencies in a band, and weights of a mean over log frequency."""
    inside = (f >= lower) & (f < upper)
    return inside, 1 / f[inside] / (1 / f[inside]).sum()


def by_hertz(spectra, inside, weights):
    """Powers of mains and subs by seat, and mains times the subs' conjugate by seat and hertz; sums by weight."""
    mains, subs = spectra.values[0][:, inside], spectra.values[1][:, inside]
    hertz = np.round(spectra.frequency[inside]).astype(int)
    product = mains * np.conj(subs) * weights
    cross = np.array([product[:, hertz == h].sum(axis=1) for h in np.unique(hertz)]).T
    return {
        "mains": (np.abs(mains) ** 2 * weights).sum(axis=1).tolist(),
        "subs": (np.abs(subs) ** 2 * weights).sum(axis=1).tolist(),
        "frequency_hz": np.unique(hertz).tolist(),
        "cross_re": cross.real.tolist(),
        "cross_im": cross.imag.tolist(),
    }


def levels(responses, rate):
    """Third-octave levels of each group at each position, dB re a ratio of 1."""
    spectra = Spectra(responses, rate)
    return {
        str(nominal): [(10 * np.log10(spectra.mean(g, g, *edges(nominal, nominal)))).round(4).tolist() for g in range(len(responses))]
        for nominal in THIRDS
        if edges(nominal, nominal)[1] < 0.45 * rate
    }


def people_at(venue, positions):
    """Whom each position stands for: everyone in the audience counts for the nearest microphone outside the front-of-house zone.

    People sit in the middles of cells of about a metre; the area is flat and rectangular.
    """
    area, zone = venue["audience"][0], venue["frontOfHouse"]
    front, back, width = area["front"]["x"], area["back"]["x"], area["front"]["width"]
    rows, seats = max(1, round(back - front)), max(1, round(width))
    x = front + (np.arange(rows) + 0.5) / rows * (back - front)
    y = width / 2 - (np.arange(seats) + 0.5) / seats * width
    x, y = (grid.ravel() for grid in np.meshgrid(x, y, indexing="ij"))
    ears = np.stack([x, y, np.full_like(x, area["earHeight"])], axis=1)
    points = np.array([[p["point"][axis] for axis in "xyz"] for p in positions])
    half = zone["front"]["width"] / 2
    mixing = (points[:, 0] >= zone["front"]["x"]) & (points[:, 0] <= zone["back"]["x"]) & (np.abs(points[:, 1]) <= half)
    distance = np.linalg.norm(ears[:, None] - points[None], axis=2)
    distance[:, mixing] = np.inf
    each = (back - front) * width * area["density"] / (rows * seats)
    return np.round(np.bincount(distance.argmin(axis=1), minlength=len(points)) * each)


def group_delay(chain, rate, lower=25.0, upper=120.0):
    """Delay of the energy that a chain of filters lets through in a band, seconds."""
    count = 2 ** int(np.ceil(np.log2(max(len(chain), rate))))
    values = rfft(chain, n=count)
    ramp = rfft(chain * np.arange(len(chain)) / rate, n=count)
    frequency = rfftfreq(count, 1 / rate)
    inside = (frequency >= lower) & (frequency <= upper)
    energy = np.abs(values[inside]) ** 2
    return float(np.real(ramp[inside] * np.conj(values[inside])).sum() / energy.sum())
