"""After the load-in: a setting is entered, mains and subs are recorded together once more, and something may have gone wrong.

Hooks of show.make that record one hall again and again, each time with another slip: verify-NAME.json is a show with that verification,
verifications.json tells what is true of each.
"""

import json

import numpy as np
from scipy.signal import butter, sosfilt

import signals


def plan_of(plan):
    """Enough of signal that what went wrong doesn't hang on noise, unlike the healthy shows: those keep theirs."""
    random = plan["random"]
    plan.update(seconds=25.0 if plan["signal"] == "music" else 16.0, rate=16000, apart=True, both=bool(random.random() < 0.5))
    count = len(plan["points"])
    victim = int(random.integers(count))
    # Stands are left where they are, or put back on their marks; and one is kicked.
    again = plan["points"] + random.normal(0, 0.015, (count, 3))
    turn = random.uniform(0, 2 * np.pi)
    kicked = plan["points"][victim] + random.uniform(0.5, 1.5) * np.array([np.cos(turn), np.sin(turn), 0])
    plan.update(victim=victim, moved=np.concatenate([again, kicked[None]]))
    sign = lambda: float(random.choice([-1, 1]))
    late = random.uniform(2, 8)
    subs_late = random.random() < 0.7
    plan["entered"] = {
        "subs": {"level": round(sign() * random.uniform(2, 7), 1), "delay": round(late, 2) if subs_late else 0.0, "polarity": str(random.choice(["normal", "inverted"]))},
        "mains": {"level": 0.0, "delay": 0.0 if subs_late else round(late, 2), "polarity": "normal"},
    }
    return plan


def played(group):
    """Gain and seconds of what was entered for a group."""
    return (-1 if group["polarity"] == "inverted" else 1) * 10 ** (group["level"] / 20), group["delay"] / 1000


NOTHING = {"level": 0.0, "delay": 0.0, "polarity": "normal"}


def slips(plan):
    """By name: what is really set, what else happens, and what would name it."""
    random, entered = plan["random"], plan["entered"]
    subs, mains = entered["subs"], entered["mains"]
    delayed = "subs" if subs["delay"] else "mains"
    other = {"subs": "mains", "mains": "subs"}[delayed]
    late = entered[delayed]["delay"]
    change = lambda group, **how: {**entered, group: {**entered[group], **how}}
    sign = lambda: float(random.choice([-1, 1]))
    off, slow, loud = sign() * random.uniform(2, 6), sign() * random.uniform(2, 6), sign() * random.uniform(3, 9)
    weak, gain = sign() * random.uniform(2, 5), sign() * random.uniform(3, 8)
    flipped = "normal" if subs["polarity"] == "inverted" else "inverted"
    victim = [plan["names"][plan["victim"]]]
    found = {
        "as entered": ({}, None),
        "as entered, later that day": ({}, None),
        "all louder or softer": ({"louder": loud}, {"louder_db": loud}),
        "polarity of the subs": ({"set": change("subs", polarity=flipped)}, {"kind": "polarity"}),
        "delay not entered": ({"set": change(delayed, delay=0.0)}, {"kind": "delay not entered"}),
        "delay of the other sign": ({"set": change(delayed, delay=-late)}, {"kind": "delay of the other sign"}),
        "delay on the wrong group": ({"set": {**change(delayed, delay=0.0), other: {**entered[other], "delay": late}}}, {"kind": "wrong group"}),
        "level not entered": ({"set": change("subs", level=0.0)}, {"kind": "level not entered"}),
        "level of the other sign": ({"set": change("subs", level=-subs["level"])}, {"kind": "level of the other sign"}),
        "level on the wrong group": ({"set": {**change("subs", level=0.0), "mains": {**mains, "level": subs["level"]}}}, {"kind": "wrong group"}),
        "nothing entered": ({"set": {"subs": NOTHING, "mains": NOTHING}}, {"kind": "nothing entered"}),
        "level of the subs off": ({"set": change("subs", level=subs["level"] + off)}, {"kind": "level of the subs", "level_db": off}),
        "delay of the subs off": ({"set": change("subs", delay=subs["delay"] + slow)}, {"kind": "delay", "delay_ms": slow}),
        "level of the mains changed": ({"set": change("mains", level=weak)}, {"kind": "level of the mains", "level_db": weak}),
        "equalisation of the mains changed": ({"equalised": (random.uniform(350, 1400), gain)}, {"kind": "mains"}),
        "one of two subs silent": ({"left": 0.0}, {"kind": "part of the subs"}),
        "one of two subs inverted": ({"left": -1.0}, {"kind": "part of the subs"}),
        "a microphone moved": ({"kicked": True}, {"kind": "one position", "positions": victim}),
        "a microphone deaf": ({"microphone": -50.0}, {"kind": "one position", "positions": victim}),
        "gain of a microphone": ({"microphone": gain}, {"kind": "one position", "positions": victim}),
        "too little signal": ({"noise": 30.0}, {"state": "cannot be said"}),
    }
    return found


def record(plan, how):
    """What the microphones hear of mains and subs together."""
    random, rate, again = plan["random"], plan["rate"], plan["again"]
    count = len(plan["points"])
    places = np.arange(count)
    if how.get("kicked"):
        places[plan["victim"]] = count
    mains, subs, left = again[0][places], again[1][places], plan["left_again"][places]
    subs = subs + (how.get("left", 1.0) - 1) * left
    if "equalised" in how:
        middle, gain = how["equalised"]
        band = butter(1, [middle / 1.6, min(middle * 1.6, 0.45 * rate)], "bandpass", fs=rate, output="sos")
        mains = mains + (10 ** (gain / 20) - 1) * sosfilt(band, mains, axis=1)
    really = how.get("set", plan["entered"])
    h = 0
    for response, group in ((mains, "mains"), (subs, "subs")):
        gain, late = played(really[group])
        turn = np.exp(-2j * np.pi * np.fft.rfftfreq(2 * response.shape[1], 1 / rate) * late)
        h = h + gain * np.fft.irfft(np.fft.rfft(response, n=2 * response.shape[1], axis=1) * turn, axis=1)[:, : response.shape[1]]
    h = warmer(h, plan, random.uniform(-1.5, 1.5)) * 10 ** (how.get("louder", 0.0) / 20)
    drive = signals.KINDS[plan["signal"]](plan["seconds"], rate, random)
    sent = np.concatenate([np.zeros(int(plan["lead"] * rate)), drive, np.zeros(int(0.5 * rate))])
    x = signals.heard_through(sent, h)
    noise = plan["ambience"](x.shape[1])
    if how.get("noise"):
        noise = noise * 10 ** ((plan["snr"] + how["noise"]) / 20)
    # Gains that were set again.
    gains = random.normal(0, 0.1, count)
    gains[plan["victim"]] += how.get("microphone", 0.0)
    x = x * 10 ** (gains / 20)[:, None] + noise
    x = plan["scale"] * x
    # Where it would clip the recorder is turned down: the reference with it.
    by = min(1.0, 0.95 / np.abs(x).max())
    return by * np.vstack([plan["electric"] * sent, x])


def warmer(h, plan, degrees):
    """Air that much warmer: the same response in less time, processing aside."""
    factor = np.sqrt((273.15 + plan["temperature"]) / (273.15 + plan["temperature"] + degrees))
    latency = plan["latency"] * plan["rate"]
    samples = np.arange(h.shape[1])
    at = latency + (samples - latency) / factor
    fine = 8
    spectrum = np.fft.rfft(h, axis=1)
    long = np.fft.irfft(spectrum, n=fine * h.shape[1], axis=1) * fine
    return np.array([np.interp(fine * at, np.arange(long.shape[1]), r) for r in long])


def keep_responses(plan, h, take, true, moved):
    plan["again"] = moved
    return h


def keep_noise(plan, x, take, ambience):
    plan["ambience"] = ambience
    if take == "mains":
        plan["heard"] = x
    return x


def verify(plan, value):
    made, files, venue = value
    plan["scale"] = files["mains.wav"][1].std() / plan["heard"][0].std()
    # What was sent is recorded as loud as before.
    plan["electric"] = files["mains.wav"][0].std() / np.std(plan["sent"])
    count = len(plan["points"])
    plan["left_again"] = plan["left"][count:]
    truths = []
    for k, (name, (how, what)) in enumerate(slips(plan).items()):
        file = f"verified-{k:02d}.wav"
        files[file] = record(plan, how)
        take = {"recording": file, "reference": 1, "microphones": made["takes"][0]["microphones"]}
        truths.append({"name": name, "show": f"verify-{k:02d}.json", "expected": what})
        plan.setdefault("shows", {})[f"verify-{k:02d}.json"] = {**made, "verification": {"takes": [take], "entered": plan["entered"]}}
    plan["truths"] = truths
    return made, files, venue


def write_all(plan, folder):
    for name, content in plan["shows"].items():
        (folder / name).write_text(json.dumps(content, indent=1))
    (folder / "verifications.json").write_text(json.dumps({"entered": plan["entered"], "victim": plan["names"][plan["victim"]], "snr_db": plan["snr"], "cases": plan["truths"]}, indent=1))
    return folder


HOOKS = {"responses": keep_responses, "heard": keep_noise, "files": verify, "written": write_all}
