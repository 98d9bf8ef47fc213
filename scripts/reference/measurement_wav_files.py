"""Small WAV files by three writers that are not ours, and what a reader that is not ours finds in them.

Writers: scipy.io.wavfile, Python's wave module, libsndfile (through soundfile). Reader: libsndfile.
"""

import wave

import numpy as np
import soundfile
from scipy.io import wavfile
from table import place, write

folder = place("measurement")
random = np.random.default_rng(4)


def integers(bits, frames, channels):
    """Random samples that include both ends of the range."""
    low, high = -(2 ** (bits - 1)), 2 ** (bits - 1) - 1
    samples = random.integers(low, high, (frames, channels), endpoint=True)
    samples[0, 0], samples[1, 0], samples[2, 0] = low, high, -1
    return samples


def by_scipy(name, rate, samples):
    wavfile.write(folder / name, rate, samples)


def by_wave(name, rate, samples):
    """24-bit samples, which scipy does not write."""
    with wave.open(str(folder / name), "wb") as file:
        file.setnchannels(samples.shape[1])
        file.setsampwidth(3)
        file.setframerate(rate)
        file.writeframes(b"".join(int(x).to_bytes(3, "little", signed=True) for x in samples.ravel()))


by_scipy("scipy-int16-mono.wav", 44100, integers(16, 25, 1)[:, 0].astype("<i2"))
by_scipy("scipy-int32-stereo.wav", 48000, integers(32, 25, 2).astype("<i4"))
by_scipy("scipy-float32-3-channels.wav", 96000, random.normal(0, 0.3, (25, 3)).astype("<f4"))
by_scipy("scipy-float64-stereo.wav", 88200, random.normal(0, 0.3, (25, 2)).astype("<f8"))
by_wave("wave-int24-stereo.wav", 48000, integers(24, 24, 2))
by_wave("wave-int24-odd-length.wav", 48000, integers(24, 25, 1))
soundfile.write(folder / "sndfile-extensible-int24-4-channels.wav",
                (integers(24, 25, 4) * 256).astype("int32"), 48000, format="WAVEX", subtype="PCM_24")
soundfile.write(folder / "sndfile-rf64-int16-stereo.wav",
                integers(16, 25, 2).astype("int16"), 192000, format="RF64", subtype="PCM_16")

files = {}
for path in sorted(folder.glob("*.wav")):
    samples, rate = soundfile.read(path, dtype="float64", always_2d=True)
    files[path.name] = {"sampleRate": rate, "channels": samples.T.tolist()}
write("measurement", "wav-files", {"source": "libsndfile through soundfile, float64", "files": files}, indent=None)
