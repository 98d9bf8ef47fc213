"""Reflection from a rigid rectangle: factor K of Rindel with scipy's Fresnel integrals, and Kirchhoff's integral by brute force.

Rindel, Nordic Acoustical Meeting (1986) and Applied Acoustics 34 (1991): per direction
K^2 = ((C(v1) + C(v2))^2 + (S(v1) + S(v2))^2) / 2 with v = 2 e cos(theta) / sqrt(lambda a*), a* = 2 a1 a2 / (a1 + a2); both from memory.
"""

import numpy as np
from scipy.special import fresnel
from table import write

C = 343.2
FREQUENCIES = [50.0, 100.0, 200.0, 400.0, 800.0, 1600.0, 3150.0]


def direction(e1, e2, cosine, a1, a2, wavelength):
    star = 2 * a1 * a2 / (a1 + a2)
    s1, c1 = fresnel(2 * e1 * cosine / np.sqrt(wavelength * star))
    s2, c2 = fresnel(2 * e2 * cosine / np.sqrt(wavelength * star))
    return np.sqrt(((c1 + c2) ** 2 + (s1 + s2) ** 2) / 2)


def rindel(width, height, hit, angle, a1, a2):
    """Panel in the plane z = 0, incidence in the plane y = 0; the hit is given from the panel's first corner."""
    return [
        direction(hit[0], width - hit[0], np.cos(angle), a1, a2, C / f)
        * direction(hit[1], height - hit[1], 1.0, a1, a2, C / f)
        for f in FREQUENCIES
    ]


def kirchhoff(width, height, hit, angle, a1, a2):
    """Rayleigh's integral of the reflected wave over the panel, relative to the image source of an endless plane.

    Incoming wave doubled on the surface, radiated by its normal velocity: the mean of both obliquity factors.
    """
    source = np.array([-a1 * np.sin(angle), 0, a1 * np.cos(angle)])
    place = np.array([a2 * np.sin(angle), 0, a2 * np.cos(angle)])
    n = 600
    u, wu = np.polynomial.legendre.leggauss(n)
    x = (u + 1) / 2 * width - hit[0]
    y = (u + 1) / 2 * height - hit[1]
    weight = np.outer(wu * width / 2, wu * height / 2)
    px, py = np.meshgrid(x, y, indexing="ij")
    r1 = np.sqrt((px - source[0]) ** 2 + py**2 + source[2] ** 2)
    r2 = np.sqrt((px - place[0]) ** 2 + py**2 + place[2] ** 2)
    obliquity = (source[2] / r1 + place[2] / r2) / 2
    out = []
    for f in FREQUENCIES:
        k = 2 * np.pi * f / C
        total = (weight * obliquity * np.exp(-1j * k * (r1 + r2 - a1 - a2)) / (r1 * r2)).sum()
        value = 1j * k / (2 * np.pi) * total * (a1 + a2)
        out.append([round(value.real, 6), round(value.imag, 6)])
    return out


CASES = [
    (3.0, 2.0, (1.5, 1.0), 0.0, 12.0, 9.0),
    (3.0, 2.0, (1.0, 0.6), np.pi / 6, 12.0, 20.0),
    (6.0, 1.2, (2.0, 0.3), np.pi / 4, 15.0, 10.0),
    (2.0, 2.0, (0.0, 1.0), np.pi / 9, 10.0, 10.0),
    (2.0, 2.0, (-0.4, 1.0), np.pi / 9, 10.0, 10.0),
    (1.0, 1.0, (0.5, 0.5), np.pi / 4, 8.0, 14.0),
]


def main():
    out = {
        "source": "scipy.special.fresnel and a 600 x 600 point Gauss-Legendre rule",
        "speedOfSound": C,
        "frequency": FREQUENCIES,
        "fresnel": [[x, *(round(float(v), 8) for v in fresnel(x)[::-1])] for x in (0.0713, 0.737, 1.613, 2.2929, 3.9371)],
        "cases": [
            {
                "width": w,
                "height": h,
                "hit": list(hit),
                "angle": round(float(angle), 9),
                "before": a1,
                "after": a2,
                "rindel": [round(float(x), 6) for x in rindel(w, h, hit, angle, a1, a2)],
                "kirchhoff": kirchhoff(w, h, hit, angle, a1, a2),
            }
            for w, h, hit, angle, a1, a2 in CASES
        ],
    }
    write("field", "field_finite_size", out, indent=None)


main()
