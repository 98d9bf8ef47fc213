"""Walks through shoebox halls by pyroomacoustics, for scripts/walk-truth.ts: a microphone that moves while it records, and what stands still says.

    walk.py FOLDER SEED HALLS

What moves hears each image source of the package with a delay and a distance that change from sample to sample; what is true of a point is
the package's own impulse response there. Writes NAME.wav (what was sent, what was heard) and NAME.json into the folder.
"""

import json
import os
import sys

import numpy as np
import pyroomacoustics as pra
from scipy.fft import irfft, rfft, rfftfreq
from scipy.io import wavfile
from scipy.signal import butter, sosfilt, sosfreqz

RATE = 8000
ORDER = 7
CROSSOVER = 90
SPEED = 343.0
PACE = 0.5  # metres per second
QUIET = 1.5  # seconds before the signal
NOISE = 25  # dB below what is heard at the end of the walk
PRESSED = 0.2  # seconds, standard deviation of a key
FILTERS = {
    "mains": np.vstack([butter(2, CROSSOVER, "high", fs=RATE, output="sos")] * 2),
    "subs": np.vstack([butter(2, CROSSOVER, "low", fs=RATE, output="sos")] * 2),
}
BANDS = {"low": (28.2, 89.1), "mid": (447.0, 2239.0)}


def pink(random, seconds):
    count = 2 ** int(np.ceil(np.log2(seconds * RATE)))
    frequency = rfftfreq(count, 1 / RATE)
    shape = np.where((frequency > 20) & (frequency < 3600), 1 / np.sqrt(np.maximum(frequency, 1)), 0)
    noise = irfft(shape * np.exp(2j * np.pi * random.uniform(size=len(shape))), n=count)[: int(seconds * RATE)]
    return noise / np.abs(noise).max() / 2


def hall(random):
    size = np.array([random.uniform(20, 28), random.uniform(12, 18), random.uniform(6, 10)])
    room = pra.ShoeBox(size, fs=RATE, max_order=ORDER, materials=pra.Material(random.uniform(0.25, 0.45)))
    middle, front = size[1] / 2, 2.0
    across, high = random.uniform(3, 5), size[2] - random.uniform(1, 2)
    groups = {
        "mains": [[front, middle - across, high], [front, middle + across, high]],
        "subs": [[front, middle - across + 1, 0.4], [front, middle + across - 1, 0.4]],
    }
    for points in groups.values():
        for point in points:
            room.add_source(point)
    return room, groups, [front + 3, size[0] - 2], [middle + random.uniform(0.5, 2), 1.5]


def moving(room, groups, sent, path):
    """What is heard on the way, one place for each sample; by the images of the room's responses, which were computed before."""
    heard = np.zeros(len(sent))
    times = np.arange(len(sent))
    number = 0
    for group, points in groups.items():
        drive = sosfilt(FILTERS[group], sent)
        for _ in points:
            source = room.sources[number]
            number += 1
            for image, damping in zip(source.images.T, np.atleast_2d(source.damping)[0]):
                distance = np.sqrt((path[0] - image[0]) ** 2 + (path[1] - image[1]) ** 2 + (path[2] - image[2]) ** 2)
                at = times - distance * (RATE / SPEED)
                whole = np.floor(at).astype(np.int64)
                part = at - whole
                good = whole >= 0
                whole, part = whole[good], part[good]
                following = np.minimum(whole + 1, len(sent) - 1)
                heard[good] += damping / distance[good] * ((1 - part) * drive[whole] + part * drive[following])
    return heard


def still(room, groups, points):
    """Levels of both bands at points, dB: means over log frequency of what mains and subs together do there."""
    room.add_microphone_array(np.array(points).T)
    room.compute_rir()
    count = 2**15
    frequency = rfftfreq(count, 1 / RATE)
    of = {group: sosfreqz(FILTERS[group], frequency, fs=RATE)[1] for group in groups}
    names = [group for group, members in groups.items() for _ in members]
    levels = {name: [] for name in BANDS}
    for responses in room.rir:
        total = sum(rfft(r, n=count) * of[name] for r, name in zip(responses, names))
        for name, (lower, upper) in BANDS.items():
            inside = (frequency >= lower) & (frequency < upper)
            weight = 1 / frequency[inside]
            levels[name].append(10 * np.log10((np.abs(total[inside]) ** 2 * weight).sum() / weight.sum()))
    return levels


def main(folder, seed, halls):
    for k in range(halls):
        random = np.random.default_rng([seed, k])
        room, groups, (first, last), (y, z) = hall(random)
        places = np.arange(first, last, 0.125)
        levels = still(room, groups, [[p, y, z] for p in places])
        length = last - first
        seconds = QUIET + 3 + length / PACE + 2
        sent = pink(random, seconds)
        sent[: int(QUIET * RATE)] = 0
        # Nobody walks evenly: steps and halts of a quarter of the pace, slow and quick.
        time = np.arange(len(sent)) / RATE - QUIET - 3
        wave, phase = random.uniform(0.1, 0.3), random.uniform(0, 6)
        even = np.clip(time * PACE, 0, length)
        swing = 0.25 * PACE / (2 * np.pi * wave) * (np.sin(2 * np.pi * wave * time + phase) - np.sin(phase))
        x = first + np.clip(even + np.where((even > 0) & (even < length), swing, 0), 0, length)
        x = np.maximum.accumulate(x)
        heard = moving(room, groups, sent, (x, y, z))
        tail = np.sqrt(np.mean(heard[-RATE:] ** 2))
        heard += 10 ** (-NOISE / 20) * tail * random.standard_normal(len(heard))
        scale = 0.5 / np.abs(heard).max()
        marks = []
        for place in np.arange(first, last + 0.01, 3.0):
            passed = float(np.argmax(x >= place - 1e-9)) / RATE
            marks.append({"x": float(place), "at": max(0.0, passed + PRESSED * random.standard_normal())})
        # The first is pressed when the walk begins, the others in their order.
        marks[0]["at"] = QUIET + 3
        marks = [m for i, m in enumerate(marks) if i == 0 or m["at"] > marks[i - 1]["at"]]
        truth = {"x": places.tolist(), **{name: (np.array(v) + 20 * np.log10(scale)).tolist() for name, v in levels.items()}}
        name = os.path.join(folder, f"walk-{k}")
        wavfile.write(name + ".wav", RATE, np.stack([sent, scale * heard], axis=1).astype(np.float32))
        with open(name + ".json", "w") as file:
            json.dump({"y": y, "z": z, "marks": marks, "truth": truth}, file)


main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]))
