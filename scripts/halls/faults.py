"""Planted faults: what goes wrong at a load-in, as hooks of show.make.

A hook takes the plan, what it may change, and more where it needs it, and gives the changed value back. `cause` is what a sentence
must say, as a regular expression of JavaScript, to count as having found it; {name} and {channel} stand for where it is.
"""

import unicodedata

import numpy as np
from scipy.signal import butter, resample, sosfilt

import signals


def victim(plan):
    """A position, drawn once."""
    if "victim" not in plan:
        plan["victim"] = int(plan["random"].integers(len(plan["names"])))
    return plan["victim"]


def with_options(**options):
    def hook(plan, value, *_):
        plan.update(options)
        return value

    return hook


def between(plan, low, high):
    """A strength, one a show, so that each show has another."""
    if "strength" not in plan:
        plan["strength"] = float(plan["random"].uniform(low, high))
    return plan["strength"]


def on_channel(take_of, change):
    """Changes what one microphone heard in some takes."""

    def heard(plan, x, take, ambience):
        if take in take_of:
            x = x.copy()
            x[victim(plan)] = change(plan, x[victim(plan)])
        return x

    return heard


ALL = ("mains", "subs", "both")


def capsule(change):
    """A microphone that is unlike the others wherever it is recorded."""

    def matched(plan, x):
        x = x.copy()
        x[victim(plan)] = change(plan, x[victim(plan)])
        return x

    return {"plan": with_options(match=True), "heard": on_channel(ALL, change), "matched": matched}


def own_reference(plan, files, show):
    """The reference on a recorder of its own."""
    for take in show["takes"]:
        name = take["recording"]
        desk = f"desk-{name}"
        files[desk] = files[name][:1]
        files[name] = files[name][1:]
        take["microphones"] = {position: channel - 1 for position, channel in take["microphones"].items()}
        take["reference"] = {"recording": desk, "channel": 1}
    if "noise.wav" in files:
        files["noise.wav"] = files["noise.wav"][1:]


def started_apart(plan, value):
    show, files, venue = value
    own_reference(plan, files, show)
    for k, take in enumerate(show["takes"]):
        late = int((0.05 + 0.01 * k) * plan["rate"]) + int(k * between(plan, 0.006, 0.06) * plan["rate"])
        files[f"desk-{take['recording']}"] = files[f"desk-{take['recording']}"][:, late:]
    return show, files, venue


def drifted(plan, value):
    show, files, venue = value
    own_reference(plan, files, show)
    ppm = between(plan, 25, 120) * plan["random"].choice([-1, 1])
    for take in show["takes"]:
        x = files[take["recording"]]
        files[take["recording"]] = resample(x, int(round(x.shape[1] * (1 + ppm * 1e-6))), axis=1)
    return show, files, venue


def lorry(plan, x, take, ambience):
    if take != plan.setdefault("spoilt", str(plan["random"].choice(["mains", "subs"]))):
        return x
    rate = plan["rate"]
    n = x.shape[1]
    length = int(plan["random"].uniform(4, 8) * rate)
    start = int(plan["random"].uniform(0.25, 0.6) * (n - length))
    rumble = signals.coloured(length, rate, 6, plan["random"], 25) * np.hanning(length) ** 0.5
    loud = np.sqrt(np.mean(x**2)) * 10 ** (between(plan, 0, 10) / 20)
    x = x.copy()
    x[:, start : start + length] += loud * rumble * plan["random"].uniform(0.7, 1.3, len(x))[:, None]
    return x


def stopping_fan(plan, quiet):
    return quiet * 10 ** (between(plan, 6, 15) / 20)


def lost_samples(plan, value):
    show, files, venue = value
    name = plan["random"].choice([t["recording"] for t in show["takes"]])
    x = files[name]
    at, lost = int(plan["random"].uniform(0.35, 0.65) * x.shape[1]), int(between(plan, 0.002, 0.03) * plan["rate"])
    x[1:, at:-lost] = x[1:, at + lost :]
    return show, files, venue


def warmer(plan, h, take, true, moved):
    """Sound travels faster: the same response in less time."""
    if take != "both":
        return h
    factor = np.sqrt((273.15 + plan["temperature"]) / (273.15 + plan["temperature"] + between(plan, 5, 9)))
    latency = plan["latency"] * plan["rate"]
    samples = np.arange(h.shape[1])
    long = resample(h, 8 * h.shape[1], axis=1)
    return np.array([np.interp(8 * (latency + (samples - latency) / factor), np.arange(long.shape[1]), r) for r in long])


def move(plan, value):
    random, v = plan["random"], victim(plan)
    turn = random.uniform(0, 2 * np.pi)
    away = between(plan, 0.5, 1.5) * np.array([np.cos(turn), np.sin(turn), 0])
    plan["moved"] = plan["points"][v : v + 1] + away
    plan["both"] = True


def stands_elsewhere(plan, h, take, true, moved):
    if take == "mains":
        return h
    h = h.copy()
    h[victim(plan)] = moved[1, 0] if take == "subs" else moved[0, 0] + moved[1, 0]
    return h


def in_both(change):
    """Something else in the take of both than in those of each."""
    return lambda plan, h, take, true, moved: change(plan, true) if take == "both" else h


def later(plan, h):
    shift = int(between(plan, 0.003, 0.01) * plan["rate"])
    return np.concatenate([np.zeros((len(h), shift)), h[:, :-shift]], axis=1)


def swap_labels(plan, value):
    show, files, venue = value
    distance = plan["points"][:, 0]
    near, far = int(np.argmin(distance)), int(np.argmax(distance))
    a, b = plan["names"][near], plan["names"][far]
    for take in show["takes"]:
        take["microphones"][a], take["microphones"][b] = take["microphones"][b], take["microphones"][a]
    return show, files, venue


def one_channel_twice(plan, value):
    show, files, venue = value
    v = victim(plan)
    other = (v + 1) % len(plan["names"])
    for take in show["takes"]:
        take["microphones"][plan["names"][v]] = take["microphones"][plan["names"][other]]
    return show, files, venue


def swap_files(plan, value):
    show, files, venue = value
    files["mains.wav"], files["subs.wav"] = files["subs.wav"], files["mains.wav"]
    return show, files, venue


def filtered(group, kind, low, high):
    def responses(plan, h, take, true, moved):
        if take not in (group, "both"):
            return h
        sos = butter(4, between(plan, low, high), kind, fs=plan["rate"], output="sos")
        g = 0 if group == "mains" else 1
        return h + sosfilt(sos, true[g], axis=1) - true[g]

    return responses


def mains_left_on(plan, h, take, true, moved):
    """In the take of the subs, turned down or up a little."""
    return h + 10 ** (between(plan, -6, 3) / 20) * true[0] if take == "subs" else h


def clipped(plan, x):
    limit = np.quantile(np.abs(x), between(plan, 0.97, 0.995))
    return np.clip(x, -limit, limit)


def loose(plan, x):
    x = x.copy()
    for at in plan["random"].uniform(0.1, 0.9, int(between(plan, 6, 15))):
        start = int(at * len(x))
        x[start : start + int(0.03 * plan["rate"])] = 0
    return x


def clipped_files(plan, value):
    """Full scale lies where it clips."""
    show, files, venue = value
    for take in show["takes"]:
        x = files[take["recording"]][1 + victim(plan)]
        x *= 1 / np.abs(x).max()
    return show, files, venue


def wrong_reference(plan, value):
    show, files, venue = value
    for take in show["takes"]:
        x = files[take["recording"]]
        x[0] = 0.1 * signals.coloured(x.shape[1], plan["rate"], 3, plan["random"])
    return show, files, venue


def renamed(old, new):
    def written(plan, folder):
        (folder / old).rename(folder / new)
        return folder

    return written


def umlaut_files(plan, value):
    show, files, venue = value
    files[unicodedata.normalize("NFD", "bühne.wav")] = files.pop("mains.wav")
    show["takes"][0]["recording"] = unicodedata.normalize("NFC", "bühne.wav")
    return show, files, venue


def mp3(plan, folder):
    random = np.random.default_rng(1)
    frame = bytes([0xFF, 0xFB, 0x90, 0x64])
    body = b"".join(frame + random.bytes(413) for _ in range(400))
    (folder / "mains.wav").write_bytes(b"ID3\x03\x00\x00\x00\x00\x00\x00" + body)
    return folder


def cut_short(plan, folder):
    path = folder / "subs.wav"
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * between(plan, 0.55, 0.8))])
    return folder


def gain_later(plan, x):
    return x * 10 ** (between(plan, 4, 9) / 20)


FAULTS = {
    "devices start apart": {
        "plan": with_options(both=False),
        "files": started_apart,
        "cause": r"time base|start(ed)? (apart|at|anew)|began|same moment",
    },
    "start of one recording": {
        "plan": with_options(both=True),
        "files": started_apart,
        "cause": r"time base|start(ed)? (apart|at|anew)|began|start of (the )?recording|same moment",
    },
    "clock of a second recorder": {"files": drifted, "cause": r"clock.*ppm"},
    "a lorry": {"heard": lorry, "cause": r"(steady|unlike|louder|differ|left out|disturb).*\d s|\d s.*(steady|unlike|louder|left out|disturb)"},
    "a fan that stops": {
        "plan": with_options(noise_floor=True, snr=15.0),
        "quiet": stopping_fan,
        "cause": r"noise.floor.*(louder|above|more|higher|not (that|the)|differ|softer|quiet)|noise.*(chang|stopp)",
    },
    "a microphone's gain": {
        **capsule(lambda plan, x: x * 10 ** (between(plan, 2.5, 6) * plan.setdefault("side", plan["random"].choice([-1, 1])) / 20)),
        "cause": r"channel {channel}\b.*\blevel.*dB",
    },
    "an inverted microphone": {**capsule(lambda plan, x: -x), "cause": r"channel {channel}\b.*(polarity|inverted)"},
    "a late microphone": {
        **capsule(lambda plan, x: np.concatenate([np.zeros(int(between(plan, 0.001, 0.004) * plan["rate"])), x])[: len(x)]),
        "cause": r"channel {channel}\b.*(late|delay|ms)",
    },
    "subs left on": {
        "plan": with_options(both=True),
        "responses": lambda plan, h, take, true, moved: true[0] + true[1] if take == "mains" else h,
        "cause": r"left on|subs (were|are|was)? ?(still )?(on|play)",
    },
    "files swapped": {"files": swap_files, "cause": r"swapped|exchanged"},
    "lost samples": {"plan": with_options(both=True), "files": lost_samples, "cause": r"lost|missing samples|samples (are|were) missing|dropped samples"},
    "temperature": {"plan": with_options(both=True), "responses": warmer, "cause": r"temperature|warmer|°C"},
    "a moved microphone": {"plan": move, "responses": stands_elsewhere, "cause": r"{name}.*moved|moved.*{name}"},
    "a limiter": {
        "plan": with_options(both=True),
        "responses": in_both(lambda plan, true: true[0] + 10 ** (-between(plan, 2.5, 6) / 20) * true[1]),
        "cause": r"limiter",
    },
    "labels swapped": {"files": swap_labels, "cause": r"swapped|expected.*ms|drawn|drawing"},
    "one channel at two positions": {"files": one_channel_twice, "cause": r"same channel|twice|two positions|one channel|both positions"},
    "mains without treble": {
        "responses": filtered("mains", "lowpass", 250, 700),
        "cause": r"mains.*(treble|nothing above|no sound above|above [\d.]+ ?k?Hz|high)",
    },
    "mains left on": {"responses": mains_left_on, "cause": r"left on"},
    "an mp3": {"written": mp3, "cause": r"mp3"},
    "another spelling": {"written": renamed("mains.wav", "Mains.WAV"), "cause": r"Mains\.WAV"},
    "another form of an umlaut": {"files": umlaut_files, "cause": r"umlaut|accent|form|written|spelled|meant|there is"},
    # Beyond those that were reported.
    "a clipped channel": {"heard": on_channel(ALL, clipped), "files": clipped_files, "cause": r"channel {channel}\b.*(clip|overload)"},
    "a dead channel": {"heard": on_channel(ALL, lambda plan, x: 0 * x), "cause": r"channel {channel}\b.*(silent|no signal|nothing|zero)"},
    "a loose cable": {"heard": on_channel(ALL, loose), "cause": r"channel {channel}\b.*(drops|connection|interrupt)"},
    "subs inverted for both": {
        "plan": with_options(both=True),
        "responses": in_both(lambda plan, true: true[0] - true[1]),
        "cause": r"polarity|inverted",
    },
    "subs delayed for both": {
        "plan": with_options(both=True),
        "responses": in_both(lambda plan, true: true[0] + later(plan, true[1])),
        "cause": r"subs.*(delay|late|ms)|delay.*subs",
    },
    "a file cut short": {"written": cut_short, "cause": r"cut short|ends before|shorter than"},
    "another signal on the reference": {"files": wrong_reference, "cause": r"reference"},
    "a preamp turned up between takes": {
        "plan": with_options(both=True),
        "heard": on_channel(("subs", "both"), gain_later),
        "cause": r"{name}.*(level|gain|dB|louder)",
    },
}


def fault(name):
    return {**FAULTS[name], "name": name}


def any_cause():
    """What names any of them, wherever it is."""
    causes = "|".join(f"({kind['cause']})" for kind in FAULTS.values())
    return causes.replace("{name}", ".").replace("{channel}", "\\d+")


if __name__ == "__main__":
    print("\n".join(FAULTS))
