"""Sound behind a rigid half plane and a rigid corner of 90 degrees.

Half plane: Macdonald's solution for a point source (Bowman, Senior and Uslenghi, Electromagnetic and Acoustic Scattering by Simple
Shapes, 8.3, from memory), an integral over a Hankel function along its path of steepest descent; and, as the independent method,
the line integral over the edge by Svensson, Fred and Vanderkooy, J. Acoust. Soc. Am. 106 (1999), 2331-2344 (from memory), over
frequency. The corner by the line integral alone. Cylindrical coordinates about the edge, angles from the face on the source's side.
"""

import numpy as np
from scipy.special import hankel2
from table import write

C = 343.2
FREQUENCIES = [31.5, 63.0, 125.0, 500.0, 2000.0]


def tail(k, length, over):
    """Integral of H1(k rho)/sqrt(rho^2 - length^2) from rho = over on, along rho = over - j s^2."""
    x, w = np.polynomial.legendre.leggauss(400)
    top = np.sqrt(45 / k)
    s = (x + 1) / 2 * top
    rho = over - 1j * s * s
    return np.sum(w * top / 2 * hankel2(1, k * rho) / np.sqrt(rho * rho - length * length) * -2j * s)


def share(k, length, over):
    return tail(k, length, over) / (2 * tail(k, length, length))


def distances(rs, phis, rr, phir, z):
    def straight(angle):
        return np.sqrt(rs * rs + rr * rr - 2 * rs * rr * np.cos(angle) + z * z)

    return straight(phis - phir), straight(phis + phir), np.sqrt((rs + rr) ** 2 + z * z)


def macdonald(k, rs, phis, rr, phir, z):
    """In the shadow, relative to the free field at the place."""
    direct, image, over = distances(rs, phis, rr, phir, z)
    second = share(k, image, over) * np.exp(-1j * k * (image - direct)) * direct / image
    return share(k, direct, over) + second


def line(k, rs, phis, rr, phir, z, opening):
    """The same by secondary sources along the edge of a wedge with this open angle."""
    nu = np.pi / opening
    x = np.linspace(-9, 9, 300001)
    y = z * rs / (rs + rr) + np.sinh(x)
    m, l = np.hypot(rs, y), np.hypot(rr, y - z)
    eta = np.arccosh(np.maximum(1, (m * l + y * (y - z)) / (rs * rr)))
    beta = 0
    for a in (1, -1):
        for b in (1, -1):
            angle = nu * (np.pi + a * phis + b * phir)
            beta = beta + np.sin(angle) / (np.cosh(nu * eta) - np.cos(angle))
    # Far along the edge, where the phase turns faster than the steps, the integral fades out.
    fade = np.where(np.abs(x) > 6, (1 + np.cos(np.pi * np.minimum(1, (np.abs(x) - 6) / 3))) / 2, 1)
    waves = -nu / (4 * np.pi) * np.trapezoid(beta * np.exp(-1j * k * (m + l)) / (m * l) * np.cosh(x) * fade, x)
    direct = distances(rs, phis, rr, phir, z)[0]
    return waves * direct * np.exp(1j * k * direct)


# Distance from the edge and angle of the source, of the place, and along the edge between them.
PLANE = [
    (10, 60, 8, 250, 0),
    (10, 60, 8, 300, 0),
    (10, 60, 8, 345, 5),
    (3, 90, 12, 275, 2),
    (3, 90, 12, 340, 0),
    (15, 20, 4, 215, 6),
    (15, 20, 4, 300, 0),
    (6, 140, 6, 330, 3),
]
CORNER = [(10, 60, 8, 250, 0), (3, 70, 12, 262, 2), (15, 20, 4, 215, 6), (15, 20, 4, 260, 0), (6, 80, 6, 268, 3), (2, 45, 20, 240, 0)]


def rows(cases, value):
    out = []
    for rs, phis, rr, phir, z in cases:
        values = [value(2 * np.pi * f / C, rs, np.radians(phis), rr, np.radians(phir), z) for f in FREQUENCIES]
        out.append({"case": [rs, phis, rr, phir, z], "values": [[round(v.real, 6), round(v.imag, 6)] for v in values]})
    return out


def main():
    out = {
        "source": "scipy.special.hankel2 by a 400 point Gauss-Legendre rule; trapezoids over the edge in numpy",
        "speedOfSound": C,
        "frequency": FREQUENCIES,
        "halfPlane": rows(PLANE, macdonald),
        "halfPlaneByLine": rows(PLANE, lambda *at: line(*at, 2 * np.pi)),
        "corner": rows(CORNER, lambda *at: line(*at, 3 * np.pi / 2)),
    }
    write("field", "field_hard_edge", out, indent=None)


main()
