"""A WAV file that can be read at any moment while it grows: 32-bit float, RF64 where it outgrows 4 GB.

It is written as NAME.wav.part and renamed when whole. The sizes in its header are brought up to date each second, so that what a
killed process leaves behind is a WAV file that ends a second early at the most, and whole for readers that go by the file's end.
Whether it lies on the disk already is not this thread's to wait for: see Take in recorder.py.

Sources: Microsoft, WAVEFORMATEXTENSIBLE; EBU Tech 3306 (RF64: the JUNK chunk kept free for ds64).
"""

import os
import struct

FLOAT = struct.pack("<H", 3) + bytes.fromhex("000000001000800000aa00389b71")
HEAD = 12 + 8 + 28 + 8 + 40 + 8 + 4 + 8  # RIFF, ds64 or JUNK, fmt, fact, data
LARGEST = 0xFFFFFFFF


class WavWriter:
    def __init__(self, file, rate, channels, largest=LARGEST):
        """`file`: an unbuffered binary file that can be written and sought; `largest`: bytes of a plain RIFF file."""
        self.file = file
        self.rate = rate
        self.channels = channels
        self.largest = largest
        self.bytes = 0
        self.told = -1
        self.update()

    def write(self, block):
        """Appends interleaved 32-bit floats. A disk that takes only a part of it raises, and what it took stays readable."""
        view = memoryview(block).cast("B")
        while len(view):
            done = self.file.write(view)
            if not done:
                raise OSError(28, "No space left on device")
            self.bytes += done
            view = view[done:]
        if self.bytes - self.told >= self.rate * self.channels * 4:
            self.update()

    def update(self):
        """Brings the sizes in the header up to date."""
        self.file.seek(0)
        self.file.write(self.header())
        self.file.seek(0, os.SEEK_END)
        self.told = self.bytes

    def header(self):
        frame = 4 * self.channels
        data = self.bytes - self.bytes % frame
        frames = data // frame
        riff = HEAD - 8 + data
        large = riff > self.largest
        form, size, first = (b"RF64", LARGEST, b"ds64") if large else (b"RIFF", riff, b"JUNK")
        sizes = struct.pack("<QQQL", riff, data, frames, 0) if large else bytes(28)
        fmt = struct.pack("<HHLLHHHHL", 0xFFFE, self.channels, self.rate, self.rate * frame, frame, 32, 22, 32, 0) + FLOAT
        return b"".join(
            [
                form + struct.pack("<L", size) + b"WAVE",
                first + struct.pack("<L", 28) + sizes,
                b"fmt " + struct.pack("<L", 40) + fmt,
                b"fact" + struct.pack("<LL", 4, LARGEST if large else frames),
                b"data" + struct.pack("<L", LARGEST if large else data),
            ]
        )
