"""Plays and records through one stream of PortAudio, as told by lines of JSON on standard input; answers in lines of JSON.

    recorder.py devices
    recorder.py run '{"device": 3, "inputs": 8, "outputs": 2, "rate": 48000}'

One stream plays and records, so that both share a clock. Its callback only copies; a thread writes to the disk and tells levels.
Nothing sounds until a line asks for it, whatever sounds fades in, and when standard input ends all fades out.
"""

import collections
import json
import os
import queue
import sys
import threading
import time

try:
    import sounddevice
except OSError as error:  # no PortAudio: the wheels for Windows and macOS bring it
    print(json.dumps({"event": "no-portaudio", "why": str(error)}))
    sys.exit(3)
import numpy as np

from wav_writer import WavWriter

LEVELS = 10  # times a second
BACKLOG = 20  # seconds of sound that may wait for the disk
LATENCY = 0.25  # seconds; a computer that is busy for a moment must not lose samples, and nobody waits for the sound
FADE_IN = 2  # seconds
FADE_OUT = 0.05
SILENT = 2 + LATENCY  # seconds without a callback, after which the device counts as gone


def say(event, **words):
    sys.stdout.write(json.dumps({"event": event, **words}) + "\n")
    sys.stdout.flush()


def devices():
    hosts = sounddevice.query_hostapis()
    usual = list(sounddevice.default.device)
    return [
        {
            "number": i,
            "name": d["name"],
            "system": hosts[d["hostapi"]]["name"],
            "inputs": d["max_input_channels"],
            "outputs": d["max_output_channels"],
            "rate": d["default_samplerate"],
            "usual": i in usual,
        }
        for i, d in enumerate(sounddevice.query_devices())
    ]


class Take:
    """One recording, from its order to its file. Frames count from 0 at its first one."""

    def __init__(self, order, inputs, rate):
        self.name = order["file"]
        self.part = self.name + ".part"
        self.wanted = int(order["frames"])
        self.taken = 0  # by the callback
        self.flags = []
        self.clock = []  # frame and the device's time of each block
        self.failed = None
        self.stopped = False
        self.file = open(self.part, "wb", buffering=0)
        self.writer = WavWriter(self.file, rate, inputs)
        self.done = threading.Event()
        self.settling = threading.Thread(target=self.settle, daemon=True)
        self.settling.start()

    def settle(self):
        """Puts what was written onto the disk once a second: a slow disk keeps this thread waiting, not the one that writes."""
        while not self.failed:
            last = self.done.wait(1)
            try:
                os.fsync(self.file.fileno())
            except OSError as error:
                self.fail(error)
            if last:
                return

    def fail(self, error):
        self.failed = self.failed or error.strerror or str(error)
        self.stopped = True

    def end(self):
        if not self.failed:
            try:
                self.writer.update()
            except OSError as error:
                self.fail(error)
        self.done.set()
        self.settling.join()
        whole = not self.failed and not self.stopped and self.writer.bytes == self.wanted * self.writer.channels * 4
        self.file.close()
        if whole:
            os.replace(self.part, self.name)
        frames = self.writer.bytes // (4 * self.writer.channels)
        say("take", file=self.name, whole=whole, stopped=self.stopped, failed=self.failed, frames=frames, flags=self.flags, clock=self.clock)


class Recorder:
    def __init__(self, setting):
        self.inputs, self.outputs, self.rate = setting["inputs"], setting["outputs"], setting["rate"]
        self.blocks = queue.SimpleQueue()
        self.waiting = 0  # frames that the disk has not taken yet
        self.take = None
        self.sound = None  # samples × outputs
        self.at = 0
        self.loops = False
        self.gain = 0.0
        self.target = 0.0
        self.last = time.monotonic()
        self.orders = collections.deque()
        self.closing = False
        device = setting.get("device")
        self.stream = sounddevice.RawStream(
            samplerate=self.rate,
            device=device,
            channels=(self.inputs, self.outputs),
            dtype="float32",
            latency=LATENCY,
            callback=self.callback,
            finished_callback=lambda: self.blocks.put(None),
        )

    # In the stream's own thread: no disk, no waiting.
    def callback(self, heard, played, frames, clock, status):
        self.last = time.monotonic()
        while self.orders:
            self.obey(self.orders.popleft())
        out = np.frombuffer(played, np.float32).reshape(frames, self.outputs)
        out[:] = 0
        take = self.take
        sounds = frames
        if take is not None and not take.stopped:
            if status:
                take.flags.append([take.taken, str(status)])
            take.clock.append([take.taken, clock.inputBufferAdcTime])
            sounds = min(frames, take.wanted - take.taken)
            take.taken += sounds
            if self.waiting > BACKLOG * self.rate:
                take.stopped = True
                take.failed = "the disk takes the samples too slowly"
        self.play(out)
        self.waiting += frames
        self.blocks.put((bytes(heard), take, sounds))
        if take is not None and (take.taken >= take.wanted or take.stopped):
            self.take = None
            self.target = 0.0
            self.blocks.put((b"", take, -1))

    def obey(self, order):
        if order["do"] == "play":
            self.sound, self.at, self.loops = order["sound"], 0, order.get("loop", False)
            self.gain = 0.0 if self.loops else order["gain"]
            self.target = order["gain"]
        elif order["do"] == "level":
            self.target = order["gain"]
        elif order["do"] == "quiet":
            self.target = 0.0
            if self.take is not None:
                self.take.stopped = True
        if "take" in order:
            self.take = order["take"]

    def play(self, out):
        if self.sound is None:
            return
        frames = len(out)
        index = np.arange(self.at, self.at + frames)
        self.at += frames
        if self.loops:
            part = self.sound[index % len(self.sound)]
        else:
            part = np.zeros((frames, self.outputs), np.float32)
            left = self.sound[index[0] : index[-1] + 1]
            part[: len(left)] = left
        # Louder takes two seconds from silence to the target, softer a twentieth of a second from full scale.
        step = max(self.target, 1e-9) / FADE_IN if self.target > self.gain else -1 / FADE_OUT
        ramp = self.gain + step / self.rate * np.arange(1, frames + 1)
        ramp = np.minimum(ramp, self.target) if step > 0 else np.maximum(ramp, self.target)
        np.multiply(part, ramp[:, None].astype(np.float32), out=out)
        self.gain = float(ramp[-1])
        if self.gain == 0 and self.target == 0 or (not self.loops and self.at >= len(self.sound)):
            self.sound = None
            self.gain = self.target = 0.0

    # In a thread of its own.
    def write(self):
        peak, power, count = np.zeros(self.inputs), np.zeros(self.inputs), 0
        while (item := self.blocks.get()) is not None:
            heard, take, sounds = item
            if sounds < 0:
                take.end()
                continue
            samples = np.frombuffer(heard, np.float32).reshape(-1, self.inputs)
            if take is not None and not take.failed:
                try:
                    take.writer.write(samples[:sounds])
                except OSError as error:
                    take.fail(error)
            self.waiting -= len(samples)
            # numpy gives NaN for a sum with one in it, and that is to be seen
            peak = np.maximum(peak, np.abs(samples).max(axis=0))
            power += np.square(samples, dtype=np.float64).sum(axis=0)
            count += len(samples)
            if count >= self.rate / LEVELS:
                say(
                    "levels",
                    peak=[float(x) if np.isfinite(x) else 1e9 for x in peak],
                    rms=[float(x) if np.isfinite(x) else 1e9 for x in np.sqrt(power / count)],
                    frame=take.taken if take is not None else None,
                    gain=self.gain if self.sound is not None else 0,
                )
                peak, power, count = np.zeros(self.inputs), np.zeros(self.inputs), 0
        take, self.take = self.take, None
        if take is not None:
            take.failed = take.failed or "the audio interface has stopped"
            take.end()
        if not self.closing:
            say("device-gone")
        say("ended")

    def watch(self):
        """A device that was unplugged often just falls silent: its callback no longer comes."""
        while time.monotonic() - self.last < SILENT:
            time.sleep(0.25)
        self.blocks.put(None)

    def run(self, lines):
        writer = threading.Thread(target=self.write)
        writer.start()
        self.stream.start()
        threading.Thread(target=self.watch, daemon=True).start()
        say("open", latency=list(self.stream.latency), rate=self.stream.samplerate)
        for line in lines:
            try:
                self.order(json.loads(line))
            except (OSError, ValueError, KeyError) as error:
                say("refused", why=str(error))
        self.closing = True
        if writer.is_alive():
            self.orders.append({"do": "quiet"})
            time.sleep(2 * FADE_OUT + self.stream.latency[1])
            self.blocks.put(None)
            writer.join()
            self.stream.abort()
        # A driver whose device is gone may never return from closing it.
        os._exit(0)

    def order(self, order):
        if order["do"] in ("play", "take") and order.get("sound"):
            order["sound"] = np.fromfile(order["sound"], np.float32).reshape(-1, self.outputs)
        if order["do"] == "take":
            if self.take is not None:
                raise ValueError("a take is being recorded")
            if os.path.exists(order["file"]):
                raise ValueError(order["file"] + " is there already")
            order["take"] = Take(order, self.inputs, self.rate)
            order["do"] = "play" if order.get("sound") is not None else "record"
        self.orders.append(order)


if __name__ == "__main__":
    if sys.argv[1] == "devices":
        say("devices", devices=devices())
    else:
        try:
            recorder = Recorder(json.loads(sys.argv[2]))
        except (sounddevice.PortAudioError, ValueError) as error:
            say("no-device", why=str(error))
            sys.exit(4)
        recorder.run(sys.stdin)
