"""Poles, zeros and response of analog filters by scipy.signal, and of parametric ones by pyfar."""

import numpy as np
import pyfar as pf
from scipy import signal
from table import digits, write

CORNER = 90.0
FREQUENCIES = [11.0, 40.0, 90.0, 137.0, 700.0]


def design(kind, order, passband, normalisation=None):
    omega = 2 * np.pi * CORNER
    if kind == "butterworth":
        return signal.butter(order, omega, passband, analog=True, output="zpk")
    if kind == "bessel":
        norm = {"magnitude": "mag", "phase": "phase"}[normalisation]
        return signal.bessel(order, omega, passband, analog=True, output="zpk", norm=norm)
    z, p, k = signal.butter(order // 2, omega, passband, analog=True, output="zpk")
    return np.tile(z, 2), np.tile(p, 2), k * k


def row(kind, order, passband, normalisation=None):
    zpk = design(kind, order, passband, normalisation)
    _, h = signal.freqs_zpk(*zpk, 2 * np.pi * np.array(FREQUENCIES))
    step = 1e-5 * np.array(FREQUENCIES)
    _, below = signal.freqs_zpk(*zpk, 2 * np.pi * (FREQUENCIES - step))
    _, above = signal.freqs_zpk(*zpk, 2 * np.pi * (FREQUENCIES + step))
    late = -np.angle(above / below) / (4 * np.pi * step)
    poles = sorted(zpk[1], key=lambda s: (round(s.real, 6), round(s.imag, 6)))
    result = {
        "filter": {"kind": kind, "type": passband, "order": order, "frequency": CORNER},
        "poles_re": digits([s.real for s in poles], 7),
        "poles_im": digits([round(s.imag, 6) for s in poles], 7),
        "zeros_at_0": len(zpk[0]),
        "re": digits(h.real, 9),
        "im": digits(h.imag, 9),
        "group_delay_ms": digits(1000 * late, 7),
    }
    assert all(z == 0 for z in zpk[0])
    if normalisation:
        result["filter"]["normalisation"] = normalisation
    return result


def parametric():
    """Digital filters at a sampling rate so high that they stand for the analog ones to about six digits."""
    rate = 6_000_000
    frequencies = np.array([200.0, 600.0, 1000.0, 1700.0, 5000.0])
    q_shelf = float(f"{0.5**0.5:.12g}")
    made = []
    for gain, q in [(6.0, 1.5), (-9.0, 0.8), (3.0, 4.0)]:
        # Type III takes the width where the gain in dB is half.
        bell = pf.dsp.filter.bell(None, 1000, gain, q, "III", "tan", rate)
        made.append(({"kind": "peak", "frequency": 1000, "gain": gain, "q": q}, bell))
    for gain in [6.0, -9.0]:
        low = pf.dsp.filter.low_shelf(None, 1000, gain, 2, "III", rate)
        high = pf.dsp.filter.high_shelf(None, 1000, gain, 2, "III", rate)
        made.append(({"kind": "low-shelf", "frequency": 1000, "gain": gain, "q": q_shelf}, low))
        made.append(({"kind": "high-shelf", "frequency": 1000, "gain": gain, "q": q_shelf}, high))
    made.append(({"kind": "all-pass", "order": 1, "frequency": 1000}, pf.dsp.filter.allpass(None, 1000, 1, 1.0, rate)))
    second = pf.dsp.filter.allpass(None, 1000, 2, [1.0, 1 / 0.9], rate)
    made.append(({"kind": "all-pass", "order": 2, "frequency": 1000, "q": 0.9}, second))
    rows = []
    for settings, made_filter in made:
        b, a = made_filter.coefficients[0]
        _, h = signal.freqz(b, a, worN=frequencies, fs=rate)
        rows.append({"filter": settings, "re": digits(np.round(h.real, 6), 6), "im": digits(np.round(h.imag, 6), 6)})
    return rows, digits(frequencies, 9)


def main():
    rows = []
    for passband in ["lowpass", "highpass"]:
        rows += [row("butterworth", n, passband) for n in range(1, 9)]
        rows += [row("linkwitz-riley", n, passband) for n in (2, 4, 8)]
        for normalisation in ["magnitude", "phase"]:
            rows += [row("bessel", n, passband, normalisation) for n in range(2, 9)]
    parametric_rows, parametric_frequencies = parametric()
    table = {
        "frequency": FREQUENCIES,
        "rows": rows,
        "parametric_frequency": parametric_frequencies,
        "parametric": parametric_rows,
    }
    write("acoustics", "acoustics_filters", table)


main()
