"""Transfer functions by scipy.signal, and by hand-batched FFTs. Usage: transfer_function_scipy.py FILE ROW_LENGTH; tasks on stdin."""

import sys

import numpy as np
import scipy.fft
from peer import serve
from scipy import signal

rows = np.fromfile(sys.argv[1]).reshape(-1, int(sys.argv[2]))
reference, microphones = rows[0], rows[1:]
rate, length, hop = 48000, 16384, 4096
window = signal.get_window("hann", length)


def by_signal():
    """As the documentation of scipy.signal suggests."""
    options = dict(fs=rate, window="hann", nperseg=length, noverlap=length - hop, detrend=False)
    result = []
    for y in microphones:
        _, sxx = signal.welch(reference, **options)
        _, sxy = signal.csd(reference, y, **options)
        _, coherence = signal.coherence(reference, y, **options)
        result.append((sxy / sxx, coherence))
    return result


def in_batches(fft, batch):
    """Each channel is transformed once; the batch was the fastest of 4, 8, 16, 32, 64 and all on the machine tried."""
    segments = np.lib.stride_tricks.sliding_window_view(rows, length, axis=1)[:, ::hop]
    bins = length // 2 + 1
    sxx, syy = np.zeros(bins), np.zeros((len(microphones), bins))
    sxy = np.zeros((len(microphones), bins), complex)
    for start in range(0, segments.shape[1], batch):
        spectra = fft.rfft(segments[:, start : start + batch] * window, axis=-1)
        power = (spectra.real**2 + spectra.imag**2).sum(axis=1)
        sxx += power[0]
        syy += power[1:]
        sxy += (spectra[0].conj() * spectra[1:]).sum(axis=1)
    return [(h, abs(c) ** 2 / sxx / p) for h, c, p in zip(sxy / sxx, sxy, syy)]


def bin_1000(result):
    return [v for h, c in result for v in (h[1000].real, h[1000].imag, c[1000])]


serve(
    {"signal": by_signal, "numpy": lambda: in_batches(np.fft, 8), "scipy": lambda: in_batches(scipy.fft, 8)},
    bin_1000,
)
