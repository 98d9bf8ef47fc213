"""Image sources of random shoebox rooms to order 3, by pyroomacoustics: length of each path and its amplitude."""

import numpy as np
import pyroomacoustics as pra
from table import write

WALLS = ["west", "east", "south", "north", "floor", "ceiling"]


def room(rng):
    size = rng.uniform([4, 3, 2.5], [30, 20, 12])
    source = rng.uniform(0.1, 0.9, 3) * size
    place = rng.uniform(0.1, 0.9, 3) * size
    absorption = dict(zip(WALLS, rng.uniform(0.02, 0.8, 6)))
    box = pra.ShoeBox(
        size,
        fs=48000,
        materials={wall: pra.Material(float(a)) for wall, a in absorption.items()},
        max_order=3,
        air_absorption=False,
    )
    box.add_source(source)
    box.add_microphone(place)
    box.image_source_model()
    images = box.sources[0].images
    damping = box.sources[0].damping[0]
    length = np.linalg.norm(images - place[:, None], axis=0)
    paths = sorted(zip(length, damping / length, box.sources[0].orders))
    return {
        "size": [round(float(x), 9) for x in size],
        "source": [round(float(x), 9) for x in source],
        "place": [round(float(x), 9) for x in place],
        "absorption": {wall: round(float(a), 9) for wall, a in absorption.items()},
        "paths": [[round(float(r), 6), float(f"{a:.6g}"), int(o)] for r, a, o in paths],
    }


def main():
    rng = np.random.default_rng(20)
    out = {"source": f"pyroomacoustics {pra.__version__}", "rooms": [room(rng) for _ in range(4)]}
    write("field", "field_shoebox", out, indent=None)


main()
