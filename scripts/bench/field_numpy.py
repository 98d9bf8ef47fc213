"""The field of point sources by numpy, on one thread. Usage: field_numpy.py FILE LENGTH; tasks on stdin.

The file holds the counts of places, sources and frequencies, then places, sources, frequencies, and the sources' complex
drives. Three ways, each with the chunk length that was its fastest.
"""

import os
import sys

os.environ["OMP_NUM_THREADS"] = os.environ["OPENBLAS_NUM_THREADS"] = "1"

import numpy as np
from peer import serve

SPEED_OF_SOUND = 343.2
data = np.fromfile(sys.argv[1])
P, S, F = (int(n) for n in data[:3])
parts = np.split(data[3:], np.cumsum([3 * P, 3 * S, F, S * F]))
places, sources = parts[0].reshape(P, 3), parts[1].reshape(S, 3)
k = 2 * np.pi * parts[2] / SPEED_OF_SOUND
drive = (parts[3] + 1j * parts[4]).reshape(S, F)


def distances(chunk):
    return np.linalg.norm(chunk[:, None] - sources, axis=-1)


def usual(step=10):
    """As most people write it: a chunk of places, a complex exponential by broadcasting, a sum."""
    out = np.empty((P, F), complex)
    for i in range(0, P, step):
        r = distances(places[i : i + step])[:, :, None]
        out[i : i + step] = (drive * np.exp(-1j * k * r) / r).sum(axis=1)
    return out


def real_parts(step=8):
    """Cosine and sine on real arrays."""
    out = np.empty((P, F), complex)
    a, b = drive.real.copy(), drive.imag.copy()
    for i in range(0, P, step):
        r = distances(places[i : i + step])[:, :, None]
        phase = k * r
        c, s = np.cos(phase), np.sin(phase)
        c /= r
        s /= r
        out[i : i + step].real = (a * c + b * s).sum(axis=1)
        out[i : i + step].imag = (b * c - a * s).sum(axis=1)
    return out


def tangent():
    """The fastest found: both from the tangent of half the angle, which numpy 2.4.6 vectorises and cosine and sine not.

    The drive's phase goes into the angle, every array is used again in place.
    """
    out = np.empty((P, F), complex)
    magnitude, half_phase, half_k = np.abs(drive), np.angle(drive) / 2, k / 2
    t, w = np.empty((S, F)), np.empty((S, F))
    for i in range(P):
        r = distances(places[i : i + 1])[0][:, None]
        a = magnitude / r
        np.multiply(r, half_k, out=t)
        t -= half_phase
        np.tan(t, out=t)
        np.multiply(t, t, out=w)
        w += 1
        np.divide(a, w, out=w)
        w *= 2
        np.multiply(w, t, out=t)
        w -= a
        out[i].real = w.sum(axis=0)
        out[i].imag = -t.sum(axis=0)
    return out


def some(result):
    few = result[:: max(1, P // 7), :: max(1, F // 5)].ravel()
    return [*few.real, *few.imag]


serve({"usual": usual, "real_parts": real_parts, "tangent": tangent}, some)
