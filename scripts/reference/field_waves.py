"""Halls by plain finite differences: levels of a sub at ears, by third octave, beside the same sub at 1 m in free field.

Cubes of 0.1 m, seven points, Courant number 1/sqrt(3), walls of real admittance that react locally (Botteldooren, J. Acoust.
Soc. Am. 98 (1995), 3302-3308; Hamilton, dissertation, Edinburgh 2016; both from memory), admittance from absorption by Paris'
formula. Every size is in whole cubes, so that nothing has to be cut; what slopes is a flight of steps of one cube, whose walls take
as much less as they are larger than the slope.

Held first against two exact solutions: all images of a rigid box that sound within 0.2 s, by pyroomacoustics (its walls reflect
alike at all angles, which none of local reaction does but a rigid one), and the waves in a box whose walls all have one admittance
(eigenvalues of two axes, the third in closed form)."""

import numpy as np
import pyroomacoustics as pra
from scipy.optimize import brentq
from table import write

H = 0.1
C = 343.2
COURANT = 1 / np.sqrt(3)
STEP = COURANT * H / C
THIRDS = [25, 31.5, 40, 50, 63, 80, 100, 125]
PER_THIRD = 48
SECONDS = 1.0

FACES = ["west", "east", "south", "north", "floor", "ceiling"]
WALLS = {"west": 0.1, "east": 0.3, "south": 0.12, "north": 0.08, "floor": 0.05, "ceiling": 0.2}

# Boxes of solid, decimetres: x, y, z from and to. A hollow is air again, whose walls have their own absorption.
STAGE = {"from": [0, 10, 0], "to": [20, 54, 10], "absorption": 0.15}
HALLS = [
    {"name": "bare", "size": [90, 64, 36], "solids": [], "hollows": [], "sub": [25, 15, 0]},
    {
        "name": "stage, riser and pillar",
        "size": [90, 64, 36],
        "solids": [
            STAGE,
            {"from": [66, 12, 0], "to": [90, 52, 4], "absorption": 0.1},
            {"from": [40, 40, 0], "to": [46, 46, 36], "absorption": 0.02},
        ],
        "hollows": [],
        "sub": [25, 15, 0],
    },
    {
        "name": "balcony and hollow stage",
        "size": [96, 64, 44],
        "solids": [STAGE, {"from": [64, 0, 22], "to": [96, 64, 25], "absorption": 0.06}],
        "hollows": [{"from": [2, 12, 0], "to": [20, 52, 9], "absorption": 0.04}],
        "sub": [25, 11, 0],
    },
]
# Slopes over the whole width: x and z at the foot and at the top.
RAKED = {
    "name": "shallow rake, then a steep one",
    "size": [90, 64, 44],
    "solids": [],
    "hollows": [],
    "rakes": [
        {"from": [30, 0], "to": [50, 2], "absorption": 0.2},
        {"from": [50, 2], "to": [90, 22], "absorption": 0.2},
    ],
    "sub": [25, 15, 0],
    "ears": [[35, 20, 12], [45, 50, 13], [60, 31, 19], [70, 20, 24], [78, 45, 28], [84, 8, 31]],
}
EARS = [[35, 20, 12], [45, 50, 12], [55, 31, 12], [70, 20, 16], [78, 45, 16], [84, 8, 12]]
UPSTAIRS = [[70, 20, 36], [86, 48, 36]]


def steps_of(hall):
    """Slopes as solids: a step where the slope has risen by half a cube."""
    solids = []
    for rake in hall.get("rakes", []):
        (x0, z0), (x1, z1) = rake["from"], rake["to"]
        deep = (x1 - x0) // (z1 - z0)
        scale = np.hypot(deep, 1) / (deep + 1)
        for z in range(z0, z1 + 1):
            start = x0 + deep * (z - z0) - deep // 2
            end = min(start + deep, x1)
            start = max(start, x0)
            if z > 0 and end > start:
                low = {"from": [start, 0, 0], "to": [end, hall["size"][1], z], "absorption": rake["absorption"], "scale": scale}
                solids.append(low)
    return solids


def paris(y):
    return 8 * y * (1 + 1 / (1 + 1 / y) - 2 * y * np.log(1 + 1 / y))


def admittance(absorption):
    return brentq(lambda y: paris(y) - absorption, 1e-12, 0.637) if absorption > 0 else 0.0


def coefficients(hall, beta):
    """Of p, of the p before and of the neighbours' sum, in flat padded arrays; `beta` gives a surface's admittance."""
    shape = [n + 2 for n in hall["size"]]
    air = np.zeros(shape, bool)
    air[1:-1, 1:-1, 1:-1] = True
    of_solid = np.zeros(shape)
    for axis, (low, high) in enumerate(zip(FACES[::2], FACES[1::2])):
        for end, face in ((0, low), (-1, high)):
            layer = [slice(None)] * 3
            layer[axis] = end
            of_solid[tuple(layer)] = beta(hall["walls"][face])
    inside = lambda b: tuple(slice(1 + a, 1 + z) for a, z in zip(b["from"], b["to"]))
    for solid in hall["solids"] + steps_of(hall):
        air[inside(solid)] = False
        of_solid[inside(solid)] = beta(solid["absorption"]) * solid.get("scale", 1)
    own = np.full(shape, -1.0)
    for hollow in hall["hollows"]:
        air[inside(hollow)] = True
        own[inside(hollow)] = beta(hollow["absorption"])
    neighbours = np.zeros(shape)
    walls = np.zeros(shape)
    for axis in range(3):
        for way in (1, -1):
            beside = np.roll(air, way, axis)
            neighbours += beside
            walls += np.where(beside, 0, np.where(own >= 0, own, np.roll(of_solid, way, axis)))
    g = COURANT * walls / 2
    square = COURANT**2
    parts = [(2 - square * neighbours) / (1 + g), -(1 - g) / (1 + g), square / (1 + g)]
    return shape, [np.where(air, part, 0).ravel().astype(np.float32) for part in parts]


def pulse(n):
    """A source's strength over time, without a mean: the second derivative of a bell, strongest at 75 Hz."""
    x = (np.pi * 75 * (np.arange(n) * STEP - 0.03)) ** 2
    return (1 - 2 * x) * np.exp(-x)


def run(hall, ears, beta=admittance, seconds=SECONDS):
    """Pressure at ears over time for `pulse` at the sub: -4 pi times a source's rho dQ/dt would be 1 at 1 m."""
    shape, (now, before, beside) = coefficients(hall, beta)
    flat = lambda p: np.ravel_multi_index([1 + x for x in p], shape)
    steps = int(seconds / STEP)
    source = pulse(steps) * (C * STEP) ** 2 / H**3
    at = flat(hall["sub"])
    heard = [flat(ear) for ear in ears]
    far = [shape[1] * shape[2], shape[2], 1]
    edge = far[0]
    size = int(np.prod(shape))
    p, q = np.zeros(size, np.float32), np.zeros(size, np.float32)
    middle = slice(edge, size - edge)
    sums, other = np.zeros(size - 2 * edge, np.float32), np.zeros(size - 2 * edge, np.float32)
    now, before, beside = now[middle], before[middle], beside[middle]
    plain = not now.any()
    out = np.zeros((steps, len(ears)))
    for n in range(steps):
        np.add(p[edge - far[0] : size - edge - far[0]], p[edge + far[0] :], out=sums)
        for d in far[1:]:
            sums += p[edge - d : size - edge - d]
            sums += p[edge + d : size - edge + d]
        sums *= beside
        if not plain:
            np.multiply(p[middle], now, out=other)
            sums += other
        q[middle] *= before
        q[middle] += sums
        q[at] += source[n]
        p, q = q, p
        out[n] = p[heard]
    return out


def spectrum(series, frequency):
    """Of what `run` gives, relative to the source at 1 m in free field. What is heard after a step n belongs to n + 1."""
    n = np.arange(series.shape[0])
    turn = np.exp(-2j * np.pi * np.outer(frequency, n * STEP))
    sent = turn @ pulse(series.shape[0]) / (4 * np.pi)
    return (turn @ series) * np.exp(-2j * np.pi * frequency * STEP)[:, None] / sent[:, None]


def frequencies():
    part = (np.arange(PER_THIRD) + 0.5) / PER_THIRD - 0.5
    return np.concatenate([1000 * 10 ** ((round(10 * np.log10(f / 1000)) + part) / 10) for f in THIRDS])


def levels(pressure):
    power = (np.abs(pressure) ** 2).reshape(len(THIRDS), PER_THIRD, -1).mean(axis=1)
    return 10 * np.log10(power)


def centre(cell):
    return (np.array(cell) + 0.5) * H


def check_rigid(ears):
    """The first 0.2 s of a rigid box, faded out, beside its image sources."""
    hall = {"size": [90, 64, 36], "solids": [], "hollows": [], "sub": [25, 15, 0], "walls": dict.fromkeys(FACES, 0)}
    seconds = 0.2
    series = run(hall, ears, lambda _: 0.0, seconds)
    time = (np.arange(len(series)) + 1) * STEP
    size = np.array(hall["size"]) * H
    box = pra.ShoeBox(size, fs=1000, materials=pra.Material(0.0), max_order=40, air_absorption=False)
    box.add_source(centre(hall["sub"]))
    box.add_microphone(centre(ears[0]))
    box.image_source_model()
    images = box.sources[0].images.T
    exact = np.zeros_like(series)
    for e, ear in enumerate(ears):
        distance = np.linalg.norm(images - centre(ear), axis=1)
        distance = distance[distance < C * seconds]
        for r in distance:
            x = (np.pi * 75 * (time - 0.03 - r / C)) ** 2
            exact[:, e] += (1 - 2 * x) * np.exp(-np.minimum(x, 700)) / (4 * np.pi * r)
    fade = (0.5 + 0.5 * np.cos(np.pi * time / seconds))[:, None]
    f = frequencies()
    worst = np.abs(levels(spectrum(series * fade, f)) - levels(spectrum(exact * fade, f))).max()
    print(f"rigid box beside {len(images)} images: {worst:.3f} dB")
    assert worst < 0.2, worst


def wave_numbers(beta, k, length, count):
    """Of waves between two walls of one admittance, middle at 0: cosines (even) and sines (odd), by Newton from the rigid ones."""
    found = []
    for n in range(count):
        half = length / 2
        x = n * np.pi / 2 + 0j
        x = np.sqrt(1j * beta * k * half) if n == 0 else x + 1j * beta * k * half / (n * np.pi / 2)
        a = 1j * beta * k * half
        for _ in range(40):
            # Even: x tan x = a; odd: x cot x = -a.
            if n % 2 == 0:
                value, slope = x * np.sin(x) - a * np.cos(x), np.sin(x) + x * np.cos(x) + a * np.sin(x)
            else:
                value, slope = x * np.cos(x) + a * np.sin(x), np.cos(x) - x * np.sin(x) + a * np.cos(x)
            x = x - value / slope
        found.append(x / half)
    return np.array(found)


def exact_admittance(size, sub, ear, beta, frequency):
    """Waves between four walls as eigenfunctions, from floor to ceiling in closed form."""
    out = []
    source, place = centre(sub) - size / 2, centre(ear) - size / 2
    for f in frequency:
        k = 2 * np.pi * f / C
        shapes = []
        for axis in range(2):
            kx = wave_numbers(beta, k, size[axis], 40)
            even = np.arange(40) % 2 == 0
            wave = lambda x: np.where(even, np.cos(kx * x), np.sin(kx * x))
            norm = size[axis] / 2 * (1 + np.where(even, 1, -1) * np.sinc(kx * size[axis] / np.pi))
            shapes.append((kx, wave(source[axis]) * wave(place[axis]) / norm))
        kz = np.sqrt(k**2 - shapes[0][0][:, None] ** 2 - shapes[1][0][None, :] ** 2 + 0j)
        kz = np.where(kz.imag > 0, -kz, kz)
        # e^{-jkz} and its reflections at two walls: r = (kz - k beta)/(kz + k beta).
        r = (kz - k * beta) / (kz + k * beta)
        low, high = sorted([centre(sub)[2], centre(ear)[2]])
        e = lambda z: np.exp(-1j * kz * z)
        up = e(high - low) + r * e(high + low) + r * e(2 * size[2] - high - low) + r**2 * e(2 * size[2] - high + low)
        green = up / (2j * kz * (1 - r**2 * e(2 * size[2])))
        out.append(4 * np.pi * (shapes[0][1][:, None] * shapes[1][1][None, :] * green).sum())
    return np.array(out)


def check_admittance(ears):
    alpha = 0.2
    hall = {"size": [60, 50, 36], "solids": [], "hollows": [], "sub": [15, 12, 0], "walls": dict.fromkeys(FACES, alpha)}
    f = frequencies()[::4]
    found = spectrum(run(hall, ears, seconds=0.6), f)
    size = np.array(hall["size"]) * H
    mean = lambda p: 10 * np.log10((np.abs(p) ** 2).reshape(len(THIRDS), -1).mean(axis=1))
    off = np.abs(
        [
            mean(found[:, e]) - mean(exact_admittance(size, hall["sub"], ear, admittance(alpha), f))
            for e, ear in enumerate(ears)
        ]
    )
    print(f"box with admittance beside its waves: median {np.median(off):.3f} dB, worst {off.max():.3f} dB (in a dip)")
    assert np.median(off) < 0.1 and off.max() < 0.35, off


def main():
    check_rigid(EARS[:3])
    check_admittance([[45, 40, 20], [30, 8, 26]])
    halls = []
    for hall in [*HALLS, RAKED]:
        ears = hall.get("ears") or EARS + (UPSTAIRS if "balcony" in hall["name"] else [])
        level = levels(spectrum(run({**hall, "walls": WALLS}, ears), frequencies()))
        halls.append(
            {
                **{key: hall[key] for key in ("name", "size", "solids", "hollows")},
                "rakes": hall.get("rakes", []),
                "walls": WALLS,
                "sub": [round(float(x), 3) for x in centre(hall["sub"])],
                "ears": [[round(float(x), 3) for x in centre(ear)] for ear in ears],
                "levels": [[round(float(v), 3) for v in row] for row in level.T],
            }
        )
    write("field", "field_waves", {"speedOfSound": C, "thirdOctaves": THIRDS, "halls": halls}, indent=None)


if __name__ == "__main__":
    main()
