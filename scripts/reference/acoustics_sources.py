"""Directivity and spreading of lines and pistons by direct numerical integration with scipy."""

import numpy as np
from scipy import integrate, special
from table import write


def finite_line(length, k, r):
    """Level of a coherent line at a point square to its middle: |∫ e^{-jkR}/R dz|², metres and radians per metre."""

    def part(trig):
        value, _ = integrate.quad(
            lambda z: trig(k * np.hypot(r, z)) / np.hypot(r, z), 0, length / 2, limit=2000, epsabs=1e-12
        )
        return 2 * value

    return part(np.cos) ** 2 + part(np.sin) ** 2


def line_index(kl):
    """Directivity index of a continuous line by the sine integral (broadside maximum)."""
    x = kl / 2
    mean = (special.sici(2 * x)[0] - np.sin(x) ** 2 / x) / x
    return -10 * np.log10(mean)


def piston_index(width, height, k):
    """Directivity index of a rectangular piston in a baffle, nothing behind, by adaptive integration of the half sphere."""

    def density(phi, theta):
        a = k * width / 2 * np.sin(theta) * np.cos(phi)
        b = k * height / 2 * np.sin(theta) * np.sin(phi)
        return (np.sinc(a / np.pi) * np.sinc(b / np.pi)) ** 2 * np.sin(theta)

    total, _ = integrate.dblquad(density, 0, np.pi / 2, 0, np.pi / 2, epsabs=1e-11)
    return 10 * np.log10(4 * np.pi / (4 * total))


def main():
    speed = 343.2
    drops = []
    for length, frequency, near, far in [
        (4.0, 1000.0, 2.0, 4.0),
        (4.0, 1000.0, 4.0, 40.0),
        (3.0, 4000.0, 1.5, 6.0),
        (6.0, 125.0, 3.0, 50.0),
        (2.0, 60.0, 1.0, 2.0),
    ]:
        k = 2 * np.pi * frequency / speed
        drop = 10 * np.log10(finite_line(length, k, near) / finite_line(length, k, far))
        drops.append([length, frequency, near, far, round(float(drop), 7)])
    table = {
        "coherent_line_drop": drops,
        "line_index": [[kl, round(float(line_index(kl)), 7)] for kl in [1.0, 5.0, 20.0]],
        "piston_index": [
            [w, h, k, round(float(piston_index(w, h, k)), 7)]
            for w, h, k in [(0.4, 0.4, 2.0), (1.0, 0.3, 10.0), (0.6, 0.6, 30.0)]
        ],
    }
    write("acoustics", "acoustics_sources", table)


main()
