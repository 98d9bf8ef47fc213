"""A hall and its impulse responses, by pyroomacoustics: image sources for the early part, ray tracing for the tail.

The package finds images and energy decays; putting them together to responses is done here, since its own way takes ten times as
long. An image of damping d at distance r is an impulse of d/r in each octave; a ray's energy in a bin is noise of that energy.
"""

import warnings

import numpy as np
import pyroomacoustics as pra
from scipy.fft import irfft, rfft, rfftfreq
from scipy.ndimage import gaussian_filter1d
from scipy.signal import butter, sosfilt

OCTAVES = 125.0 * 2.0 ** np.arange(7)
ORDER = 8
BIN = 0.008  # seconds of the rays' histogram
# How directive a flown array is in each octave: the amplitude is ((1 + cos) / 2) ** n, its mean square over the sphere 1 / (2n + 1).
ARRAY = np.array([0.4, 1.0, 1.8, 2.6, 3.2, 3.6, 4.0])


def draw(random, volume=None, decay=None):
    """A shoebox with a stage end: size, decay by octave, absorption by wall."""
    volume = volume or float(np.exp(random.uniform(np.log(300), np.log(20000))))
    height = volume ** (1 / 3) * random.uniform(0.5, 0.75)
    ratio = random.uniform(1.1, 1.8)
    width = np.sqrt(volume / height / ratio)
    size = np.array([ratio * width, width, height])
    shortest, longest = 0.4 * (volume / 300) ** 0.15, min(3.0, 1.1 * (volume / 300) ** 0.25)
    decay = decay or float(np.exp(random.uniform(np.log(shortest), np.log(longest))))
    bass = random.uniform(0.85, 1.35)
    by_octave = decay * np.array([bass, 1 + (bass - 1) / 2, 1, 1, 0.95, 0.85, 0.7])
    surface = 2 * (size[0] * size[1] + size[0] * size[2] + size[1] * size[2])
    mean = 1 - np.exp(-0.161 * volume / (surface * by_octave))
    uneven = {wall: random.uniform(0.75, 1.25) for wall in ("west", "east", "south", "north", "ceiling", "floor")}
    return {
        "size": size,
        "volume": volume,
        "decay": decay,
        "absorption": {wall: np.clip(mean * k, 0.02, 0.95) for wall, k in uneven.items()},
        "scattering": random.uniform(0.2, 0.45),
    }


def responses(hall, groups, microphones, speed, rate, random, rays=5000):
    """Impulse responses of groups of loudspeakers that play the same.

    groups: a list of (points, aims or None); microphones: points, all in metres from the hall's corner.
    Returns an array of group × microphone × samples.
    """
    materials = {
        wall: pra.Material({"coeffs": list(a), "center_freqs": list(OCTAVES)}, hall["scattering"])
        for wall, a in hall["absorption"].items()
    }
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it would have a hundred thousand rays or more
        room = pra.ShoeBox(
            hall["size"], fs=rate, max_order=ORDER, materials=materials, ray_tracing=True, air_absorption=True
        )
        room.set_sound_speed(speed)
        room.set_ray_tracing(n_rays=rays, receiver_radius=0.06 * hall["volume"] ** (1 / 3), hist_bin_size=BIN)
    for points, _ in groups:
        for point in points:
            room.add_source(point)
    room.add_microphone_array(np.array(microphones).T)
    pra.libroom.set_rng_seed(int(random.integers(2**31)))
    room.image_source_model()
    room.ray_tracing()

    air = np.asarray(room.air_absorption)[: len(OCTAVES)]
    length = 2 ** int(np.ceil(np.log2(rate * (1.15 * hall["decay"] * 1.4 + 0.1))))
    masks = octave_masks(length, rate)
    out = np.zeros((len(groups), len(microphones), length))
    noises = [tail_noise(microphones, speed, rate, length, random) for _ in groups]
    first = 0
    for g, (points, aims) in enumerate(groups):
        for m, microphone in enumerate(microphones):
            early = np.zeros((len(OCTAVES), length))
            energy = np.zeros((len(OCTAVES), length))
            for k, point in enumerate(points):
                source = room.sources[first + k]
                add_images(early, source, point, aims and aims[k], microphone, air, speed, rate, hall["size"])
                tail = np.asarray(room.rt_histograms[m][first + k][0])[: len(OCTAVES)]
                energy += decay_of(tail, aims is not None, air, speed, rate, length)
            late = irfft(noises[g][m] * masks, n=length) * np.sqrt(energy)
            out[g, m] = irfft((rfft(early) * masks).sum(axis=0), n=length) + late.sum(axis=0)
        first += len(points)
    # What comes before the direct sound is a ripple of the octave filters; the end is faded.
    out[:, :, -length // 16 :] *= np.linspace(1, 0, length // 16)
    return out


def tail_noise(microphones, speed, rate, length, random):
    """Spectra of noise, one a microphone, as alike as a diffuse field is between neighbours: sin(kd)/(kd)."""
    points = np.asarray(microphones)
    frequency = rfftfreq(length, 1 / rate)
    out = []
    for m, point in enumerate(points):
        fresh = rfft(random.standard_normal(length))
        if m > 0:
            away = np.linalg.norm(points[:m] - point, axis=1)
            alike = np.sinc(2 * frequency * away.min() / speed)
            fresh = alike * out[int(np.argmin(away))] + np.sqrt(1 - alike**2) * fresh
        out.append(fresh)
    return out


def octave_masks(length, rate):
    """The part of each octave in the amplitude at each frequency; they sum to 1."""
    frequency = np.maximum(rfftfreq(length, 1 / rate), 1)
    place = np.clip(np.log2(frequency / OCTAVES[0]), 0, len(OCTAVES) - 1)
    return np.maximum(0, 1 - np.abs(place - np.arange(len(OCTAVES))[:, None]))


def add_images(early, source, point, aim, microphone, air, speed, rate, size):
    away = np.asarray(microphone)[:, None] - source.images
    distance = np.linalg.norm(away, axis=0)
    gain = source.damping[: len(OCTAVES)] / distance * np.exp(-0.5 * air[:, None] * distance)
    if aim is not None:
        # An image that was mirrored an odd number of times along an axis sends out the other way there.
        cell = np.mod(source.images, 2 * size[:, None])
        mirrored = np.abs(cell - np.asarray(point)[:, None]) > 1e-6
        cosine = (np.where(mirrored, -away, away) * aim[:, None]).sum(axis=0) / distance
        gain = gain * ((1 + cosine) / 2) ** ARRAY[:, None]
    at = distance / speed * rate
    whole = np.floor(at).astype(int)
    taps = np.arange(-7, 9)
    x = taps[None, :] - (at - whole)[:, None]
    kernel = np.sinc(x) * np.cos(np.pi * x / 17) ** 2
    places = whole[:, None] + taps[None, :]
    ok = (places >= 0) & (places < early.shape[1])
    for band in range(len(early)):
        np.add.at(early[band], places[ok], (gain[band][:, None] * kernel)[ok])


def decay_of(tail, directive, air, speed, rate, length):
    """Energy per sample of the tail: the rays' histogram, smoothed as few rays need it."""
    smooth = gaussian_filter1d(tail, 1.5, axis=1, mode="nearest")
    centres = (np.arange(tail.shape[1]) + 0.5) * BIN * rate
    samples = np.arange(length)
    out = np.array([np.interp(samples, centres, band, left=0, right=0) for band in smooth]) / (BIN * rate)
    out *= np.exp(-air[:, None] * samples / rate * speed)
    return out / (2 * ARRAY[:, None] + 1) if directive else out


def decay_time(response, rate, octave=1000):
    """Reverberation time from −5 to −25 dB of the backward integral of one octave (ISO 3382-1, T20)."""
    band = butter(4, [octave / np.sqrt(2), octave * np.sqrt(2)], "bandpass", fs=rate, output="sos")
    energy = np.cumsum((sosfilt(band, response) ** 2)[::-1])[::-1]
    level = 10 * np.log10(np.maximum(energy / energy[0], 1e-12))
    begin, end = np.argmax(level < -5), np.argmax(level < -25)
    slope = np.polyfit(np.arange(begin, end) / rate, level[begin:end], 1)[0]
    return float(-60 / slope)
