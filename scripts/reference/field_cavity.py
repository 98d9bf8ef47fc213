"""A closed cavity before which a wave comes in: chain matrices of short pieces, and the piston's impedance by brute force."""

import numpy as np
from table import write

C = 343.2
FREQUENCIES = [12.0, 20.0, 28.0, 33.0, 40.0, 55.0, 80.0, 100.0, 160.0, 250.0]


def line(k, depth, absorption):
    """Impedance at the mouth by the product of 40 chain matrices, ended by the impedance that reflects sqrt(1 - alpha)."""
    kept = np.sqrt(1 - absorption)
    end = (1 + kept) / (1 - kept)
    piece = k * depth / 40
    step = np.array([[np.cos(piece), 1j * np.sin(piece)], [1j * np.sin(piece), np.cos(piece)]])
    p, u = np.linalg.matrix_power(step, 40) @ np.array([end, 1.0])
    return p / u


def piston(k, width, height):
    """The sum over cells converges with their size; extrapolated from two."""
    return 2 * cells(k, width, height, 320) - cells(k, width, height, 160)


def cells(k, width, height, n):
    """jk/(2 pi S) of the double integral over the piston, on a grid of cells; a cell's own part as that of a disc of its area."""
    nx = max(4, round(n * np.sqrt(width / height)))
    ny = max(4, round(n * np.sqrt(height / width)))
    dx, dy = width / nx, height / ny
    i, j = np.arange(nx), np.arange(ny)
    # Pairs of cells by their offset: (nx - i)(ny - j) of them, twice for each sign.
    count = np.outer((nx - i) * np.where(i, 2, 1), (ny - j) * np.where(j, 2, 1))
    distance = np.sqrt((i[:, None] * dx) ** 2 + (j[None, :] * dy) ** 2)
    distance[0, 0] = 1.0
    kernel = np.exp(-1j * k * distance) / distance
    area = dx * dy
    radius = np.sqrt(area / np.pi)
    kernel[0, 0] = (16 * radius**3 / 3) * np.pi / area**2 - 1j * k
    return 1j * k / (2 * np.pi * width * height) * (count * kernel).sum() * area**2


CASES = [(2.6, 1.0, 1.0, 0.1), (4.0, 3.0, 0.8, 0.3), (6.5, 8.0, 1.1, 0.05)]


def main():
    cases = []
    for depth, width, height, absorption in CASES:
        rows = []
        for f in FREQUENCIES:
            k = 2 * np.pi * f / C
            a, b = line(k, depth, absorption), piston(k, width, height)
            rows.append([round(float(x), 5) for x in (a.real, a.imag, b.real, b.imag)])
        cases.append({"depth": depth, "width": width, "height": height, "absorption": absorption, "rows": rows})
    out = {"source": "numpy chain matrices and cell sums", "speedOfSound": C, "frequency": FREQUENCIES, "cases": cases}
    write("field", "field_cavity", out, indent=None)


main()
