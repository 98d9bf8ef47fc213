"""
The recorder with an interface that is not there: a private PulseAudio whose null sink hands back what is played into it.

    virtual.py RECORDER_PYTHON SECONDS CHANNELS

What is played are ramps that name channel and sample, so that each lost, repeated or exchanged sample is seen. Prints a line for each
check; where the system lacks PulseAudio or PortAudio it says so and checks nothing.
"""

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time

import numpy as np
import soundfile

recorder_python, seconds, channels = sys.argv[1], float(sys.argv[2]), int(sys.argv[3])
program = os.path.join(os.path.dirname(__file__), "..", "recorder.py")
RATE = 48000
HEAD = 116
passed = failed = 0
signal.alarm(int(4 * seconds) + 90)  # a recorder that never answers must not hold the checks up


def check(title, holds, more=""):
    global passed, failed
    passed, failed = passed + bool(holds), failed + (not holds)
    print(("ok  " if holds else "not ok  ") + title + (f": {more}" if more != "" else ""), flush=True)


def end():
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


PLACES = "front-left,front-right,rear-left,rear-right,front-center,lfe,side-left,side-right," + ",".join(f"aux{i}" for i in range(24))


class Pulse:
    def __init__(self, home):
        self.home = home
        self.env = {**os.environ, "HOME": home, "XDG_RUNTIME_DIR": os.path.join(home, "run")}
        os.makedirs(self.env["XDG_RUNTIME_DIR"], 0o700)
        with open(os.path.join(home, ".asoundrc"), "w") as file:
            file.write("pcm.!default { type pulse }\nctl.!default { type pulse }\n")
        places = ",".join(PLACES.split(",")[:channels])
        with open(os.path.join(home, "script.pa"), "w") as file:
            file.write(
                f"load-module module-null-sink sink_name=desk channels={channels} rate={RATE} format=float32le channel_map={places}\n"
                "load-module module-native-protocol-unix\nset-default-source desk.monitor\n"
            )
        self.process = subprocess.Popen(
            ["pulseaudio", "-n", "-F", os.path.join(home, "script.pa"), "--exit-idle-time=-1", "--daemonize=no", "--disable-shm=1"],
            env=self.env,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        for _ in range(100):
            if subprocess.run(["pactl", "info"], env=self.env, capture_output=True).returncode == 0:
                return
            time.sleep(0.1)
        raise RuntimeError("PulseAudio did not start")

    def player(self, path):
        """Plays a file over and over, with two seconds of buffer: what is recorded then hangs on the recorder's input alone."""
        feeder = subprocess.Popen(
            ["sh", "-c", 'while cat "$0"; do :; done', path], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        places = ",".join(PLACES.split(",")[:channels])
        pacat = ["pacat", "--playback", "--raw", "--device=desk", "--format=float32le", f"--rate={RATE}", f"--channels={channels}"]
        playing = subprocess.Popen(
            [*pacat, f"--channel-map={places}", "--latency-msec=2000", "--volume=65536"], stdin=feeder.stdout, env=self.env
        )
        return feeder, playing

    def stop(self):
        self.process.terminate()
        self.process.wait()


class Recorder:
    def __init__(self, env):
        setting = {"device": "default", "inputs": channels, "outputs": channels, "rate": RATE}
        self.process = subprocess.Popen(
            [recorder_python, program, "run", json.dumps(setting)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=env
        )
        self.events = []
        first = self.until("open", "no-device", "no-portaudio")
        if first["event"] != "open":
            raise RuntimeError(json.dumps(first))
        # A stream that has just begun is still filling its buffers.
        end = time.monotonic() + 2
        while time.monotonic() < end:
            self.until("levels")

    def order(self, **order):
        self.process.stdin.write(json.dumps(order) + "\n")
        self.process.stdin.flush()

    def until(self, *wanted):
        for line in self.process.stdout:
            event = json.loads(line)
            self.events.append(event)
            if event["event"] in wanted:
                return event
        return {"event": "nothing"}

    def close(self):
        self.process.stdin.close()
        self.process.stdout.read()
        self.process.wait()


PERIOD = 1 << 18


def period_of(step):
    return PERIOD * 16 // step


def ramps(path, frames=None):
    """Of so many frames, or one period to play over and over.

    Each sample is a whole number of steps of 2⁻²³: a power of two times its place within the period, and its channel.
    """
    step = 1 << max(4, int(np.ceil(np.log2(channels + 1))))
    frames = frames or period_of(step)
    place = (np.arange(frames) % period_of(step)).astype(np.float64)
    with open(path, "wb") as file:
        for first in range(0, frames, 1 << 16):
            part = place[first : first + (1 << 16), None] * step + np.arange(1, channels + 1)
            file.write((part / 2**23).astype(np.float32).tobytes())
    return step


def follows(path, step):
    """What came of the ramps, from the first frame that sounds on: frames, of them silent ones, where it doesn't go on, and samples that are none of a ramp's.

    Frames that are silent on all channels are the player's, which was late: after them the ramp goes on where it was. Where it doesn't,
    frames are missing or came twice; the list has the frame and how many are missing.
    """
    data = np.memmap(path, np.float32, "r", offset=HEAD).reshape(-1, channels)
    start = next((i for i in range(0, len(data)) if data[i, 0] != 0), len(data)) if len(data) < 10**6 else int(np.argmax(data[: 10 * RATE, 0] != 0))
    count = silent = wrong = 0
    losses = []
    last = None
    for first in range(start, len(data), 1 << 16):
        whole = np.rint(data[first : first + (1 << 16)].astype(np.float64) * 2**23).astype(np.int64)
        sounds = whole.any(axis=1)
        count += len(whole)
        silent += int(np.count_nonzero(~sounds))
        at = first + np.flatnonzero(sounds)
        whole = whole[sounds]
        if not len(whole):
            continue
        wrong += int(np.count_nonzero(whole % step != np.arange(1, channels + 1)))
        places = whole // step
        wrong += int(np.count_nonzero(places != places[:, :1]))
        row = places[:, 0] if last is None else np.concatenate([[last], places[:, 0]])
        missing = (np.diff(row) - 1) % period_of(step)
        missing = np.where(missing > period_of(step) // 2, missing - period_of(step), missing)
        offset = 1 if last is None else 0
        losses += [(int(at[i + offset]), int(missing[i])) for i in np.flatnonzero(missing)]
        last = places[-1, 0]
    return count, silent, losses, wrong


if shutil.which("pulseaudio") is None:
    print("PulseAudio is not installed (Debian: apt install pulseaudio libasound2-plugins): nothing is checked by a virtual interface")
    end()

with tempfile.TemporaryDirectory() as home:
    pulse = Pulse(home)
    try:
        try:
            recorder = Recorder(pulse.env)
        except RuntimeError as error:
            print(f"the virtual interface can't be opened ({error}): nothing is checked by it")
            end()
        frames = int(seconds * RATE)
        sound = os.path.join(home, "ramps.f32")
        # In a long one a player of its own plays a period over and over.
        long = seconds > 60
        step = ramps(sound, None if long else frames)
        wav = os.path.join(home, "take.wav")
        player = pulse.player(sound) if long else ()
        # A machine that is busy with other things may lose samples: then they must have been told, and the take is made again.
        for attempt in range(1 if long else 3):
            if os.path.exists(wav):
                os.remove(wav)
            if long:
                time.sleep(4)
                recorder.order(do="take", file=wav, frames=frames)
            else:
                time.sleep(1)  # what the one before played last is still on its way
                recorder.order(do="take", file=wav, frames=frames, sound=sound, gain=1)
            report = recorder.until("take")
            check(f"{channels} channels for {seconds:.0f} s are recorded whole", report["whole"] and report["frames"] == frames, report["failed"] or "")
            if not report["whole"]:
                end()
            check("under their name, with nothing left beside it", os.path.exists(wav) and not os.path.exists(wav + ".part"))
            count, silent, losses, wrong = follows(wav, step)
            # What the recorder itself plays is silence in a long one, and an output that was late for a moment costs nothing.
            flags = [flag for flag in report["flags"] if not long or "input" in flag[1]]
            if flags:
                print(f"    the system told of losses: {flags[:3]}, {len(losses)} in truth: {losses[:9]}", flush=True)
                continue
            check(
                "of the frames that sound none is lost, repeated or changed",
                count - silent > 0.8 * frames and not losses and wrong == 0,
                f"{count} frames, {silent} while the player was late, {len(losses)} losses {losses[:9]}, {wrong} wrong samples",
            )
            break
        else:
            print("    this machine is too busy to record without a loss: the take would have been refused", flush=True)
        for process in player:
            process.kill()
        os.remove(wav)

        # A process that is killed leaves what it had.
        recorder.order(do="take", file=wav, frames=60 * RATE, sound=sound, gain=1)
        time.sleep(4.5)
        recorder.process.send_signal(signal.SIGKILL)
        recorder.process.wait()
        left = soundfile.info(wav + ".part")
        check("killed after 4.5 s it leaves 3 s or more that can be read", left.frames > 3 * RATE and left.channels == channels, f"{left.frames / RATE:.1f} s")
        check("and no file under the take's name", not os.path.exists(wav))

        # Silence until asked, a fade when asked, silence again after the end of its input.
        recorder = Recorder(pulse.env)
        check("nothing sounds by itself", all(max(e["peak"]) == 0 for e in recorder.events if e["event"] == "levels"))
        tone = np.repeat(np.float32(0.1), RATE * channels)
        tone.tofile(sound)
        recorder.events.clear()
        recorder.order(do="play", sound=sound, gain=1, loop=True)
        began = time.monotonic()
        while time.monotonic() - began < 4:
            recorder.until("levels")
        peaks = [max(e["peak"]) for e in recorder.events if e["event"] == "levels"]
        # A word each block at the most, and those are as long as a quarter of a second.
        rising = [p for p in peaks if 0 < p < 0.0999]
        check("what plays fades in over two seconds", 8 <= len(rising) <= 26 and rising == sorted(rising) and abs(peaks[-1] - 0.1) < 1e-3, f"{len(rising)} steps of a tenth of a second")
        recorder.order(do="quiet")
        began = time.monotonic()
        while time.monotonic() - began < 1.5:
            last = recorder.until("levels")
        check("and stops when told", max(last["peak"]) == 0)

        # The interface goes away during a take.
        recorder.order(do="take", file=wav, frames=60 * RATE)
        began = time.monotonic()
        while time.monotonic() - began < 2.5:
            recorder.until("levels")
        pulse.stop()
        report = recorder.until("take")
        check("an interface that goes away ends the take and says so", report.get("failed") is not None and not report["whole"], report.get("failed"))
        recorder.close()
        check("and leaves what was recorded", soundfile.info(wav + ".part").frames > RATE)
    finally:
        if pulse.process.poll() is None:
            pulse.stop()
end()
