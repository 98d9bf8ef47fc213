"""Level of the steady sound in 24 boxes, by pyroomacoustics: 250 Hz to 4 kHz at twelve seats, direct sound and all
reflections added by energy, in dB relative to the direct sound at 1 m on axis. The first sixteen rooms were at hand when
the diffuse field's law was chosen, the others were not.

Mirroring walls by image sources to order 40, made anew by CI. Scattering walls by rays, in ten minutes:

    python scripts/reference/field_mid_band.py --rays tests/field/room/mid-band-rays.json

A ray there carries all of its energy on, in a direction mixed of mirrored and scattered (Lambert). The library adds the
scattered part once more on its straight way to the ear; that is left out, by giving the bands that are read no
scattering and others enough that their mean, which mixes the direction, is what is wanted. With no scattering rays
and images agree within 0.3 dB in the mean of each room's octave."""

import json
import sys
from pathlib import Path

import numpy as np
import pyroomacoustics as pra
from pyroomacoustics.directivities import CardioidFamily
from pyroomacoustics.doa import fibonacci_spherical_sampling
from table import write

WALLS = ["west", "east", "south", "north", "floor", "ceiling"]
OCTAVES = [250, 500, 1000, 2000, 4000]
SCATTERING = [0, 0.1, 0.3, 0.6]
SPEED = 343.2
# Nepers of energy per metre from dB/km at 20 °C and 50 %, ISO 9613-1.
AIR = np.array([1.3, 2.7, 4.7, 9.9, 29.7]) / 1000 * np.log(10) / 10

# Invented, each near what handbooks give for its kind.
MATERIALS = {
    "plaster": [0.12, 0.08, 0.06, 0.06, 0.06],
    "panel": [0.25, 0.12, 0.10, 0.10, 0.10],
    "hard": [0.05, 0.05, 0.05, 0.06, 0.07],
    "people": [0.60, 0.75, 0.85, 0.85, 0.85],
    "carpet": [0.10, 0.25, 0.40, 0.50, 0.55],
    "drapes": [0.40, 0.55, 0.70, 0.70, 0.70],
    "tiles": [0.35, 0.60, 0.75, 0.80, 0.75],
    "rear": [0.70, 0.80, 0.80, 0.80, 0.80],
    "deck": [0.40, 0.55, 0.50, 0.45, 0.40],
    "live": [0.08, 0.10, 0.12, 0.14, 0.16],
    "even": [0.16, 0.20, 0.24, 0.28, 0.32],
    "dead": [0.35, 0.40, 0.45, 0.50, 0.50],
}

# Length, width, height; front, back, the sides, floor and ceiling, or one for all; the source, its pattern.
ROOMS = [
    ("small, even", (9, 7, 3.2), "even", (1, 2, 2.4), "cardioid"),
    ("small club", (18, 11, 3.5), "drapes panel panel panel people plaster", (2, 3, 2.8), "piston"),
    ("cube, live", (14, 12, 10), "live", (2, 4, 6), "omni"),
    ("theatre, even", (30, 18, 12), "even", (2, 6, 8), "piston"),
    ("theatre", (32, 18, 12), "drapes rear panel panel people plaster", (8, 6, 8.4), "piston"),
    ("theatre, wide pattern", (32, 18, 12), "drapes rear panel panel people plaster", (8, 6, 8.4), "cardioid"),
    ("long, live", (60, 12, 8), "live", (3, 4, 6), "cardioid"),
    ("long", (45, 15, 7), "drapes panel panel panel carpet plaster", (5, 5, 5.5), "piston"),
    ("flat, even", (40, 30, 4), "even", (3, 8, 3.2), "cardioid"),
    ("flat, tiles", (24, 38, 7), "drapes plaster plaster plaster carpet tiles", (4, 14, 5.5), "piston"),
    ("flat, tiles, all round", (24, 38, 7), "drapes plaster plaster plaster carpet tiles", (4, 14, 5.5), "omni"),
    ("high, live", (22, 16, 17), "live", (3, 4, 7), "cardioid"),
    ("church", (50, 16, 17), "hard hard hard hard people plaster", (12, 5, 6), "piston"),
    ("arena", (80, 52, 20), "drapes hard plaster plaster people deck", (14, 10, 12), "piston"),
    ("dead", (26, 18, 9), "dead", (3, 5, 6), "cardioid"),
    ("assembly hall", (33, 17, 9), "drapes panel panel panel even plaster", (9, 6, 6.5), "cardioid"),
    ("small hall", (15, 10, 5), "drapes plaster panel panel people plaster", (2, 3, 4), "cardioid"),
    ("small, hard", (12, 9, 4), "plaster plaster plaster plaster carpet panel", (1.5, 3, 3), "omni"),
    ("long, hard", (70, 14, 10), "panel panel hard hard people hard", (6, 4, 7), "piston"),
    ("long, dead", (50, 12, 7), "dead", (3, 4, 5.5), "omni"),
    ("flat, people", (35, 40, 6), "panel panel plaster plaster people tiles", (4, 10, 5), "cardioid"),
    ("high", (24, 24, 20), "plaster drapes plaster plaster people hard", (4, 7, 9), "piston"),
    ("hall", (28, 22, 14), "rear plaster panel plaster people panel", (7, 7, 8), "omni"),
    ("arena, even", (70, 45, 18), "even", (12, 10, 12), "piston"),
]
LEARNT = 16


def layout(name, size, walls, source, pattern):
    size, source = np.array(size, float), np.array(source, float)
    length, width, _ = size
    names = walls.split() if " " in walls else [walls] * 6
    nearest = max(source[0] + 0.12 * (length - source[0]), source[0] + 1.5)
    seats = [
        [round(float(x), 3), round(y * width, 3), 1.2]
        for x in np.linspace(nearest, length - max(1, 0.04 * length), 6)
        for y in (0.62, 0.3)
    ]
    axis = np.array([source[0] + 0.6 * (length - source[0]), 0.45 * width, 1.2]) - source
    axis /= np.linalg.norm(axis)
    absorption = np.array([MATERIALS[n] for n in names])
    return name, size, absorption, source, pattern, axis, np.array(seats)


def power_pattern(pattern, axis, directions):
    """Square of the pattern by octave: mean of eight frequencies. The piston's sides are 0.4 m, its rear as the model has it."""
    cosine = directions @ axis
    if pattern == "omni":
        return np.ones((len(directions), 5))
    if pattern == "cardioid":
        return np.repeat(((0.5 + 0.5 * cosine) ** 2)[:, None], 5, 1)
    side = 0.4
    up = np.array([0, 0, 1.0]) - axis * axis[2]
    up /= np.linalg.norm(up)
    u, v = directions @ np.cross(axis, up), directions @ up
    out = np.zeros((len(directions), 5))
    for band, middle in enumerate(OCTAVES):
        for i in range(8):
            k = 2 * np.pi * middle * 2 ** ((i + 0.5) / 8 - 0.5) / SPEED
            front = np.sinc(k * side * u / 2 / np.pi) * np.sinc(k * side * v / 2 / np.pi)
            large = k * k * side * side / np.pi
            rear = np.where(cosine < 0, -14 * cosine * np.log(10) / 20, 0)
            out[:, band] += (front * np.exp(-rear * large / (1 + large))) ** 2 / 8
    return out


def by_images(room, order=40):
    """Mean squares at the seats: direct and reflected."""
    _, size, absorption, source, pattern, axis, seats = room
    centres = [125, *OCTAVES, 8000]
    box = pra.ShoeBox(
        size,
        fs=16000,
        materials={
            wall: pra.Material({"coeffs": [a[0], *a, a[-1]], "center_freqs": centres})
            for wall, a in zip(WALLS, absorption)
        },
        max_order=order,
        air_absorption=False,
    )
    box.add_source(source)
    box.add_microphone(seats[0])
    box.image_source_model()
    found = box.sources[0]
    kept = found.damping[1:6].astype(float) ** 2
    # An odd number of reflections along an axis turns the direction round there.
    turned = np.where(found.orders_xyz % 2 == 0, 1, -1)
    direct, reflected = [], []
    for seat in seats:
        way = seat[:, None] - found.images.astype(float)
        r = np.linalg.norm(way, axis=0)
        factor = power_pattern(pattern, axis, (way * turned / r).T).T
        energy = kept * factor / r**2 * np.exp(-AIR[:, None] * r)
        direct.append(energy[:, found.orders == 0].sum(1))
        reflected.append(energy[:, found.orders > 0].sum(1))
    return np.array(direct), np.array(reflected)


class Aimed(CardioidFamily):
    """Rays evenly all round, with the pattern's energy; the base serves for its interface alone."""

    def __init__(self, pattern, axis, bands):
        super().__init__(axis, 0.5)
        self.of = (pattern, axis, bands)

    def sample_rays(self, n_rays, rng=None):
        pattern, axis, bands = self.of
        rays = fibonacci_spherical_sampling(n_points=n_rays).T
        energy = power_pattern(pattern, axis, rays)
        return rays, np.concatenate([energy[:, :1], energy] + [energy[:, -1:]] * (bands - 6), 1)


def by_rays(room, scattering, rays=40000):
    """Mean squares of the reflected sound at the seats."""
    _, size, absorption, source, pattern, axis, seats = room
    # As many octaves above as take up the scattering that the bands read don't have.
    above = next(n for n in (1, 2, 8) if scattering * (n + 6) <= n + 1)
    bands = above + 6
    elsewhere = bands * scattering / (above + 1)
    centres = [125 * 2**i for i in range(bands)]
    box = pra.ShoeBox(
        size,
        fs=16000 * 2 ** (above - 1),
        materials={
            wall: pra.Material(
                {"coeffs": [a[0], *a] + [a[-1]] * above, "center_freqs": centres},
                {"coeffs": [elsewhere] + [0] * 5 + [elsewhere] * above, "center_freqs": centres},
            )
            for wall, a in zip(WALLS, absorption)
        },
        max_order=1,  # leaves the direct sound out of what the rays bring
        air_absorption=False,
    )
    radius = min(0.95, max(0.5, 0.06 * np.prod(size) ** (1 / 3)))
    box.set_ray_tracing(
        n_rays=rays, receiver_radius=radius, energy_thres=1e-5, time_thres=5.0, hist_bin_size=0.01
    )
    box.add_source(source, directivity=Aimed(pattern, axis, bands))
    box.add_microphone_array(seats.T)
    box.ray_tracing()
    assert abs(box.walls[0].scatter.mean() - scattering) < 1e-3
    time = (np.arange(500) + 0.5) * 0.01
    air = np.exp(-AIR[:, None] * time * SPEED)
    return np.array([(np.array(h[0][0])[1:6, :500] * air).sum(-1) for h in box.rt_histograms])


def decibels(energy, n):
    return [[round(float(x), n) for x in row] for row in 10 * np.log10(energy)]


def entry(room, learnt):
    name, size, absorption, source, pattern, axis, seats = room
    direct, reflected = by_images(room)
    return {
        "name": name,
        "learnt": learnt,
        "size": size.tolist(),
        "absorption": dict(zip(WALLS, absorption.tolist())),
        "source": source.tolist(),
        "axis": [round(float(x), 9) for x in axis],
        "pattern": pattern,
        "seats": seats.tolist(),
        "level": decibels(direct + reflected, 4),
    }


def ray_table():
    out = {"source": f"pyroomacoustics {pra.__version__}, {Path(__file__).name} --rays", "rooms": {}}
    for room in (layout(*r) for r in ROOMS):
        direct, reflected = by_images(room)
        out["rooms"][room[0]] = {}
        for scattering in SCATTERING:
            pra.random.seed(1)
            traced = by_rays(room, scattering)
            out["rooms"][room[0]][str(scattering)] = decibels(direct + traced, 2)
            if scattering == 0:
                mean = 10 * np.log10(traced / reflected).mean(0)
                print(room[0], "rays re images, dB:", np.round(mean, 2), flush=True)
    return out


if "--rays" in sys.argv:
    Path(sys.argv[-1]).write_text(json.dumps(ray_table()) + "\n")
else:
    rooms = [entry(layout(*r), i < LEARNT) for i, r in enumerate(ROOMS)]
    table = {"source": f"pyroomacoustics {pra.__version__}", "octaves": OCTAVES, "rooms": rooms}
    write("field", "field_mid_band", table, indent=None)
