"""The recorder's files, read by readers of others: scipy, libsndfile (soundfile), Python's own wave. Prints a line for each check."""

import io
import os
import struct
import sys
import tempfile
import warnings

import numpy as np
import soundfile
from scipy.io import wavfile

sys.path.insert(0, os.path.join(os.path.dirname(__file__), ".."))
from wav_writer import HEAD, WavWriter  # noqa: E402

passed = failed = 0


def check(title, holds):
    global passed, failed
    passed, failed = passed + bool(holds), failed + (not holds)
    print(("ok  " if holds else "not ok  ") + title)


def samples(frames, channels, seed=1):
    return np.random.default_rng(seed).standard_normal((frames, channels)).astype(np.float32)


def write(path, blocks, rate=48000, **options):
    with open(path, "wb", buffering=0) as file:
        writer = WavWriter(file, rate, blocks[0].shape[1], **options)
        for block in blocks:
            writer.write(block)
        writer.update()


def same(path, wanted, rate=48000):
    """Whether scipy and libsndfile read to the last bit what was written."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        found_rate, by_scipy = wavfile.read(path)
    by_sndfile, other_rate = soundfile.read(path, dtype="float32", always_2d=True)
    by_scipy = by_scipy.reshape(len(by_scipy), -1)
    return found_rate == other_rate == rate and np.array_equal(by_scipy, wanted) and np.array_equal(by_sndfile, wanted)


class Sparse(io.RawIOBase):
    """A file into which gigabytes of silence go without taking room: a stretch of zeros is skipped."""

    def __init__(self, path):
        self.file = open(path, "wb", buffering=0)

    def write(self, data):
        data = bytes(data)
        if len(data) > 4096 and not any(data[:64]) and not any(data[-64:]):
            self.file.seek(len(data), os.SEEK_CUR)
            self.file.truncate(self.file.tell())
            return len(data)
        return self.file.write(data)

    def seek(self, *where):
        return self.file.seek(*where)

    def close(self):
        self.file.close()


with tempfile.TemporaryDirectory() as folder:
    at = lambda name: os.path.join(folder, name)
    for channels in (1, 2, 3, 16, 64):
        whole = samples(4801, channels, channels)
        write(at("a.wav"), np.array_split(whole, 7))
        check(f"{channels} channels, written in pieces, are read to the last bit by scipy and libsndfile", same(at("a.wav"), whole))
        check(f"{channels} channels are told in the header as 32-bit float", soundfile.info(at("a.wav")).subtype == "FLOAT")

    whole = samples(9600, 4)
    write(at("rf64.wav"), [whole], largest=10_000)
    with open(at("rf64.wav"), "rb") as file:
        check("beyond the largest plain file it is RF64", file.read(4) == b"RF64")
    found, rate = soundfile.read(at("rf64.wav"), dtype="float32")
    check("RF64 is read to the last bit by libsndfile", np.array_equal(found, whole) and rate == 48000)
    check("RF64 is read to the last bit by scipy", np.array_equal(wavfile.read(at("rf64.wav"))[1], whole))

    # 4.6 GB in truth, not by a smaller limit.
    silence = np.zeros((1_000_000, 16), np.float32)
    end = samples(1000, 16, 9)
    file = Sparse(at("long.wav"))
    writer = WavWriter(file, 48000, 16)
    for _ in range(72):
        writer.write(silence)
    writer.write(end)
    writer.update()
    file.close()
    info = soundfile.info(at("long.wav"))
    check("4.6 GB have their true length", info.frames == 72_001_000 and info.format == "RF64")
    tail, _ = soundfile.read(at("long.wav"), start=72_000_000, dtype="float32")
    check("and end in what was written last", np.array_equal(tail, end))
    os.remove(at("long.wav"))

    # At any moment: what lies on the disk after each block, cut wherever the system had got to.
    whole = samples(200_000, 2, 5)
    with open(at("growing.wav.part"), "wb", buffering=0) as file:
        writer = WavWriter(file, 48000, 2)
        bad = 0
        for block in np.array_split(whole, 53):
            writer.write(block)
            found, _ = soundfile.read(at("growing.wav.part"), dtype="float32")
            behind = writer.bytes // 8 - len(found)
            bad += not (0 <= behind <= 48000 + 4000 and np.array_equal(found, whole[: len(found)]))
        check("while it grows it can be read, at most a second behind", bad == 0)

    with open(at("growing.wav.part"), "rb") as file:
        chunks = file.read(HEAD)
    riff, = struct.unpack("<L", chunks[4:8])
    check("sizes in the header are of whole frames", (riff + 8 - HEAD) % 8 == 0)

    class Full(io.RawIOBase):
        """A disk with room for so many bytes."""

        def __init__(self, room):
            self.data, self.room = io.BytesIO(), room

        def write(self, data):
            at = self.data.tell()
            taken = bytes(data)[: max(0, self.room - at)] if at + len(data) > self.room else bytes(data)
            if not taken:
                raise OSError(28, "No space left on device")
            return self.data.write(taken)

        def seek(self, *where):
            return self.data.seek(*where)

    disk = Full(100_001)
    writer = WavWriter(disk, 48000, 2)
    try:
        writer.write(whole)
        check("a full disk is told", False)
    except OSError as error:
        check("a full disk is told", error.errno == 28)
    writer.update()
    found, _ = soundfile.read(io.BytesIO(disk.data.getvalue()), dtype="float32")
    check("and what it took can be read", len(found) == (100_001 - HEAD) // 8 and np.array_equal(found, whole[: len(found)]))

    # The header's own words, by Python's reader of plain files, for whole-number formats only: it must refuse floats by their tag.
    import wave

    write(at("b.wav"), [samples(100, 1)])
    try:
        with wave.open(at("b.wav")) as file:
            holds = file.getnchannels() == 1 and file.getnframes() == 100 and file.getsampwidth() == 4
    except wave.Error as error:
        holds = "unknown" in str(error)
    check("Python's wave sees the same header, or says that it takes no such format", holds)

print(f"{passed} passed, {failed} failed")
sys.exit(1 if failed else 0)
