"""What is played: pink noise, sweeps, invented music. And what is heard besides: the noise of a room."""

import numpy as np
from scipy.fft import irfft, next_fast_len, rfft, rfftfreq
from scipy.signal import butter, sosfilt


def coloured(count, rate, slope, random, lowest=20.0):
    """Noise whose power falls by `slope` dB an octave, mean square 1."""
    length = next_fast_len(count, real=True)
    frequency = rfftfreq(length, 1 / rate)
    shape = np.zeros_like(frequency)
    inside = frequency >= lowest / 1.5
    shape[inside] = (frequency[inside] / 1000) ** (-slope / 6.02)
    signal = irfft(rfft(random.standard_normal(length)) * shape, n=length)[:count]
    return signal / np.sqrt(np.mean(signal**2))


def pink(seconds, rate, random):
    return coloured(int(seconds * rate), rate, 3.01, random)


def sweeps(seconds, rate, random):
    """Logarithmic sweeps from 20 Hz, one after the other with a pause for the hall."""
    length = random.uniform(5, 10)
    pause = random.uniform(1.5, 3.5)
    top = 0.45 * rate
    t = np.arange(int(length * rate)) / rate
    growth = np.log(top / 20)
    sweep = np.sin(2 * np.pi * 20 * length / growth * (np.exp(t / length * growth) - 1))
    fade = int(0.05 * rate)
    sweep[:fade] *= np.linspace(0, 1, fade)
    sweep[-fade // 5 :] *= np.linspace(1, 0, fade // 5)
    one = np.concatenate([sweep, np.zeros(int(pause * rate))])
    return np.tile(one, max(2, round(seconds / (length + pause))))


def music(seconds, rate, random):
    """A drum machine, a bass line and chords, with a pause here and there."""
    count = int(seconds * rate)
    out = np.zeros(count + 4 * rate)
    beat = 60 / random.uniform(84, 132)
    root = random.integers(28, 40)  # MIDI number

    def tone(midi, length, partials, decay):
        t = np.arange(int(length * rate)) / rate
        f = 440 * 2 ** ((midi - 69) / 12)
        wave = np.zeros_like(t)
        for k in range(1, partials):
            if f * k < 0.45 * rate:
                wave += np.sin(2 * np.pi * f * k * t + random.uniform(0, 6.28)) / k
        return wave * np.exp(-t / decay) * np.minimum(1, t / 0.004)

    def put(at, wave, gain):
        start = int(at * rate)
        if start + len(wave) < len(out):
            out[start : start + len(wave)] += gain * wave

    at, bar = 0.0, 0
    while at < seconds:
        degrees = [0, 3, 5, 7, 10]
        step = int(random.choice(degrees))
        if random.random() > 0.06 or bar == 0:  # else the bar is silent
            for k in range(4):
                when = at + k * beat
                t = np.arange(int(0.35 * rate)) / rate
                kick = np.sin(2 * np.pi * (47 * t + 90 * 0.03 * (1 - np.exp(-t / 0.03)))) * np.exp(-t / 0.12)
                put(when, kick, 1.0)
                if k % 2:
                    snare = random.standard_normal(int(0.2 * rate)) * np.exp(-np.arange(int(0.2 * rate)) / rate / 0.06)
                    put(when, snare, 0.25)
                for half in (0, 0.5):
                    hat = random.standard_normal(int(0.06 * rate)) * np.exp(-np.arange(int(0.06 * rate)) / rate / 0.02)
                    put(when + half * beat, np.diff(hat, prepend=0), 0.12)
                    put(when + half * beat, tone(root + int(random.choice(degrees)), 0.5 * beat, 14, 0.4), 0.35)
            for note in (0, 3, 7, 10, 15):
                put(at, tone(root + 24 + step + note, 4 * beat, 24, 1.2), 0.12)
        at += 4 * beat
        bar += 1
    out = out[:count]
    return out / np.sqrt(np.mean(out**2))


def heard_through(signal, responses):
    """A signal through each of some impulse responses, as long as the signal."""
    length = next_fast_len(len(signal) + responses.shape[-1] - 1, real=True)
    spectrum = rfft(signal, n=length)
    return np.array([irfft(spectrum * rfft(r, n=length), n=length)[: len(signal)] for r in responses])


def band_ratio(signal, noise, band, rate):
    """How far a signal's power in a band lies above a noise's of the same length, dB."""
    length = next_fast_len(len(signal), real=True)
    frequency = rfftfreq(length, 1 / rate)
    inside = (frequency >= band[0]) & (frequency < band[1])
    power = [np.sum(np.abs(rfft(x, n=length)[inside]) ** 2) for x in (signal, noise)]
    return float(10 * np.log10(power[0] / power[1]))


KINDS = {"noise": pink, "sweep": sweeps, "music": music}


def linkwitz_riley(signal, kind, frequency, rate):
    sos = butter(2, frequency, kind, fs=rate, output="sos")
    return sosfilt(sos, sosfilt(sos, signal))
