"""What scipy.signal makes of recordings that the tests can make again, sample for sample.

The recordings come from a 32-bit linear congruential generator and sums of delayed copies, so that Python and
JavaScript get the same doubles.
"""

import numpy as np
from scipy import signal, stats
from table import digits, write

rate = 48000


def uniform(seed, count):
    """Uniform numbers from -1 to 1."""
    values = np.empty(count)
    state = seed
    for i in range(count):
        state = (1664525 * state + 1013904223) % 2**32
        values[i] = state / 2**31 - 1
    return values


def delayed(x, samples):
    return np.concatenate([np.zeros(samples), x[: len(x) - samples]])


x = uniform(1, 60000)
y = 0.8 * delayed(x, 25) - 0.3 * delayed(x, 70) + 0.25 * uniform(2, 60000)

spectra = []
for window, name, length, overlap in [
    ("hann", "hann", 1024, 0.5),
    ("hann", "hann", 4096, 0.75),
    ("blackmanharris", "blackman-harris", 2048, 0.75),
    ("boxcar", "rectangular", 512, 0.0),
]:
    options = dict(fs=rate, window=window, nperseg=length, noverlap=int(length * overlap), detrend=False)
    frequency, sxx = signal.welch(x, **options)
    _, syy = signal.welch(y, **options)
    _, sxy = signal.csd(x, y, **options)
    _, coherence = signal.coherence(x, y, **options)
    h1, h2 = sxy / sxx, syy / np.conj(sxy)
    keep = slice(1, length // 2, 37)
    spectra.append(
        dict(
            window=name,
            windowLength=length,
            overlap=overlap,
            frequency=digits(frequency[keep]),
            h1_re=digits(h1.real[keep]),
            h1_im=digits(h1.imag[keep]),
            h2_re=digits(h2.real[keep]),
            h2_im=digits(h2.imag[keep]),
            coherence=digits(coherence[keep]),
        )
    )

correlation = signal.correlate(y, x, mode="full", method="fft")
lags = signal.correlation_lags(len(y), len(x))

windows = {
    name: digits(signal.get_window(scipy_name, 16))
    for name, scipy_name in [("hann", "hann"), ("blackman-harris", "blackmanharris"), ("flat-top", "flattop")]
}

short, long = x[:300], y[:1000]
convolution = signal.fftconvolve(short, long)

t = np.arange(rate) / rate
chirp = signal.chirp(t, f0=20, t1=1, f1=20000, method="logarithmic", phi=-90)

# Band-limited noise read 1 part in 1000 faster. resample_poly is band-limited as well; both are compared inside.
lowpass = signal.firwin(63, 0.5)
smooth = signal.lfilter(lowpass, 1, x[:20000])
taps = signal.firwin(2 * 64 * 1001 + 1, 1 / 1001, window=("kaiser", 12))
faster = signal.resample_poly(smooth, 1000, 1001, window=taps)

psd_f, psd = signal.welch(x[:48000], rate, "hann", 16384, 8192, detrend=False)
edges = [(89.125, 112.2), (891.25, 1122.0), (7079.5, 8912.5)]
step = psd_f[1]
band_levels = [
    10 * np.log10(sum(p * max(0, min(hi, f + step / 2) - max(lo, f - step / 2)) for f, p in zip(psd_f, psd)))
    for lo, hi in edges
]

b, a = signal.iirpeak(1000, 2, fs=rate)
biquad_f = np.geomspace(50, 15000, 60)
_, biquad_h = signal.freqz(b, a, worN=biquad_f, fs=rate)

transforms = []
for size in [2**p for p in range(3, 13)]:
    values = np.fft.fft(uniform(1, size) + 1j * uniform(2, size))[:: max(1, size // 8)]
    transforms.append(dict(size=size, re=digits(values.real), im=digits(values.imag)))

result = dict(
    source="scipy.signal (see requirements) on seeded recordings",
    rate=rate,
    spectra=spectra,
    strongestLag=int(lags[np.argmax(np.abs(correlation))]),
    windows=windows,
    convolution=digits(convolution[::50]),
    chirp=digits(chirp[::997]),
    lowpass=digits(lowpass, 17),
    transforms=transforms,
    resampled=digits(faster[2000:18000:499]),
    bandLevels=[dict(frequency=f, level=round(v, 6)) for f, v in zip([100, 1000, 8000], band_levels)],
    biquad=dict(b=digits(b, 17), a=digits(a, 17), frequency=digits(biquad_f), re=digits(biquad_h.real), im=digits(biquad_h.imag)),
    student={str(n): round(float(stats.t.ppf(0.975, n)), 6) for n in (10, 20, 40, 200)},
)
write("measurement", "estimators", result)
