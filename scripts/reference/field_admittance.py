"""Absorption of a locally reacting wall for sound from all directions, by Paris' formula integrated by scipy.

A wall of admittance y (in units of 1/rho c) takes 1 - |R|^2 of a plane wave at an angle, R = (cos - y)/(cos + y); sound from all
directions brings sin 2 theta of it.
"""

import numpy as np
from scipy.integrate import quad
from table import digits, write


def absorption(y):
    def part(angle):
        r = (np.cos(angle) - y) / (np.cos(angle) + y)
        return (1 - abs(r) ** 2) * np.sin(2 * angle)

    return quad(part, 0, np.pi / 2, epsabs=1e-12, epsrel=1e-12)[0]


REAL = [0.001, 0.01, 0.03, 0.1, 0.2, 0.4, 0.637]
COMPLEX = [(0.1, 0.1), (0.1, -0.2), (0.3, 0.3), (0.03, 0.1)]

write(
    "field",
    "field_admittance",
    {
        "source": "scipy.integrate.quad over the angle",
        "real": [{"admittance": y, "absorption": digits(absorption(y))[0]} for y in REAL],
        "complex": [{"admittance": [a, b], "absorption": digits(absorption(a + 1j * b))[0]} for a, b in COMPLEX],
    },
)
