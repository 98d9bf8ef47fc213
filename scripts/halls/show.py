"""One show: a hall, what stands in it, what was recorded, the folder that a technician would hand over, and what is true of it."""

import json
from pathlib import Path

import numpy as np
from scipy.io import wavfile
from scipy.signal import butter, fftconvolve, sosfilt

import hall
import signals
import truth



def draw(seed, **fixed):
    """Everything that is decided by chance about a show. `fixed` holds what is not left to it."""
    random = np.random.default_rng(seed)
    h = hall.draw(random, fixed.get("volume"), fixed.get("decay"))
    length, width, height = h["size"]
    stage = random.uniform(0.12, 0.2) * length
    deep = length - stage
    flown = height > 4.5
    hang = {
        "x": random.uniform(0.2, 0.6),
        "y": random.uniform(0.27, 0.38) * width,
        "z": min(random.uniform(0.55, 0.75) * height, 9.0) if flown else min(2.2, 0.7 * height),
    }
    sub = {"x": random.uniform(0.2, 0.8), "y": random.choice([0.05, 0.2, 0.33]) * width, "z": 0.3}
    count = int(random.integers(5, 10))
    mix = bool(random.random() < 0.5)
    ear = float(random.choice([1.2, 1.6]))
    rows = count - mix
    x = np.linspace(0.12, 0.93, rows) * deep + random.uniform(-0.02, 0.02, rows) * deep
    y = random.uniform(-0.36, 0.36, rows) * width
    points = [[float(x[i]), float(y[i]), ear] for i in range(rows)]
    names = [f"row {i + 1}" for i in range(rows)]
    if mix:
        points.append([0.66 * deep, float(random.uniform(-0.03, 0.03) * width), ear])
        names = names + ["mix position"]
    crossover = float(random.choice([75, 80, 85, 90, 100, 110]))
    plan = {
        "seed": int(seed),
        "hall": h,
        "stage": stage,
        "hang": hang,
        "flown": flown,
        "sub": sub,
        "names": names,
        "points": np.array(points),
        "ear": ear,
        "deep": deep,
        "temperature": float(random.uniform(14, 27)),
        "crossover": crossover,
        "latency": float(random.uniform(0.002, 0.012)),
        "sub_delay": float(random.choice([0, 0, random.uniform(0, 0.008)])),
        "sub_polarity": int(random.choice([1, 1, 1, -1])),
        "balance": float(random.uniform(-4, 6)),
        "target": float(random.choice([4, 6, 6, 8])),
        "signal": str(random.choice(["noise", "sweep", "music"])),
        "seconds": float(random.uniform(18, 32)),
        "lead": float(random.choice([0, random.uniform(0.5, 3)])),
        "snr": float(random.uniform(10, 40)),
        "slope": float(random.uniform(1.5, 4.5)),
        "noise_floor": bool(random.random() < 0.5),
        "both": bool(random.random() < 0.4),
        "match": bool(random.random() < 0.3),
        "rate": int(random.choice([16000] * 19 + [44100])),
        "encoding": str(random.choice(["int16", "int16", "int32", "float32"])),
    }
    if plan["signal"] == "music":
        plan["seconds"] *= 1.5
    plan.update({key: value for key, value in fixed.items() if value is not None and key in plan and key not in ("hall",)})
    plan["random"] = random
    return plan


def speed_of_sound(celsius):
    return 331.3 * np.sqrt(1 + celsius / 273.15)


def chain_of(plan):
    """Impulse responses of the processing: crossover, low cut of the subs, delays, polarity."""
    rate = plan["rate"]
    impulse = np.zeros(int(0.6 * rate))
    impulse[0] = 1
    mains = signals.linkwitz_riley(impulse, "highpass", plan["crossover"], rate)
    subs = sosfilt(butter(4, 28, "highpass", fs=rate, output="sos"), signals.linkwitz_riley(impulse, "lowpass", plan["crossover"], rate))
    return mains, plan["sub_polarity"] * subs


def in_hall(plan, points):
    """From the venue's coordinates to the hall's corner."""
    return np.asarray(points) + [plan["stage"], plan["hall"]["size"][1] / 2, 0]


def groups_of(plan):
    hang, sub = plan["hang"], plan["sub"]
    down = np.arctan2(hang["z"] - plan["ear"], 0.6 * plan["deep"])
    aims = []
    points = []
    for side in (1, -1):
        aim = np.array([np.cos(down), -side * 0.15, -np.sin(down)])
        aims.append(aim / np.linalg.norm(aim))
        points.append([hang["x"], side * hang["y"], hang["z"]])
    subs = [[sub["x"], side * sub["y"], sub["z"]] for side in (1, -1)]
    return [(list(in_hall(plan, points)), aims), (list(in_hall(plan, subs)), None)]


def delayed(response, seconds, rate):
    """Later by a whole or broken number of samples."""
    count = 2 ** int(np.ceil(np.log2(response.shape[-1] + seconds * rate + 64)))
    turn = np.exp(-2j * np.pi * np.fft.rfftfreq(count, 1 / rate) * seconds)
    return np.fft.irfft(np.fft.rfft(response, n=count) * turn, n=count)


def responses_of(plan, points):
    """What each group does at each point, processing included: group × point × samples. The subs' level suits the plan's balance."""
    random, rate = plan["random"], plan["rate"]
    groups = groups_of(plan)
    if plan.get("apart"):
        (subs, _) = groups.pop()
        groups += [([sub], None) for sub in subs]
    raw = hall.responses(plan["hall"], groups, in_hall(plan, points), speed_of_sound(plan["temperature"]), rate, random)
    chains = chain_of(plan)
    delays = (plan["latency"], plan["latency"] + plan["sub_delay"])
    if plan.get("apart"):
        # What the first of the subs does by itself is kept beside.
        raw = np.array([raw[0], raw[1] + raw[2], raw[1]])
        chains, delays = (*chains, chains[1]), (*delays, delays[1])
    out = np.array([[delayed(fftconvolve(response, chain), delay, rate) for response in group] for group, chain, delay in zip(raw, chains, delays)])
    # By power, as a technician sets it by eye before measuring.
    spectra = truth.Spectra(out[:, : len(plan["points"])], rate)
    low = spectra.mean(1, 1, *truth.edges(31.5, 80)).mean()
    middle = spectra.mean(0, 0, *truth.edges(500, 2000)).mean()
    if "sub_gain" not in plan:
        plan["sub_gain"] = np.sqrt(middle / low * 10 ** ((plan["target"] + plan["balance"]) / 10))
    out[1:] *= plan["sub_gain"]
    if plan.get("apart"):
        plan["left"] = out[2]
    return out[:2]


def make(plan, folder, cause, fault={}):
    """Writes the show's folder with truth.json. `fault` changes what its hooks are for (faults.py); `cause` is what would name it."""
    hook = lambda name, value, *more: fault[name](plan, value, *more) if name in fault else value
    hook("plan", None)
    random, rate = plan["random"], plan["rate"]
    count = len(plan["points"])
    nowhere = np.zeros((0, 3))
    seats = plan.get("seats", nowhere)
    h = responses_of(plan, np.concatenate([plan["points"], seats, plan.get("moved", nowhere)]))
    true = h[:, :count]
    moved = h[:, count + len(seats) :]

    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    drive = hook("drive", signals.KINDS[plan["signal"]](plan["seconds"], rate, random))
    lead, tail = int(plan["lead"] * rate), int(0.5 * rate)
    sent = plan["sent"] = np.concatenate([np.zeros(lead), drive, np.zeros(tail)])
    play = {"mains": [1, 0], "subs": [0, 1], "both": [1, 1]}
    clean = {}
    for take, on in play.items():
        if take == "both" and not plan["both"]:
            continue
        responses = hook("responses", sum(g * r for g, r in zip(on, true)), take, true, moved)
        played = hook("played", sent, take)
        clean[take] = signals.heard_through(played, responses)
    level = np.mean([np.mean(x[lead : lead + len(drive)] ** 2) for x in clean["mains"]])
    noise_power = level / 10 ** (plan["snr"] / 10)

    def ambience(n):
        return np.sqrt(noise_power) * np.array([signals.coloured(n, rate, plan["slope"], random) for _ in range(count)])

    heard = {take: hook("heard", x + ambience(x.shape[1]), take, ambience) for take, x in clean.items()}
    peak = max(np.abs(x).max() for x in heard.values())
    scale = 0.4 / peak
    venue = draw_venue(plan)
    channels = {name: i + 2 for i, name in enumerate(plan["names"])}
    show = {
        "name": f"A hall of {plan['hall']['volume']:.0f} m³",
        "venue": "venue.json",
        "settings": {"targetTilt": plan["target"], "crossover": plan["crossover"]},
        "takes": [],
    }
    electric = 0.3 / np.abs(sent).max()
    files = {}
    for take, x in heard.items():
        files[f"{take}.wav"] = np.vstack([electric * sent, scale * x])
        show["takes"].append({"playing": take, "recording": f"{take}.wav", "reference": 1, "microphones": dict(channels)})
    if plan["noise_floor"]:
        quiet = hook("quiet", ambience(int(random.uniform(8, 15) * rate)))
        files["noise.wav"] = np.vstack([np.zeros(quiet.shape[1]), scale * quiet])
        show["noiseFloor"] = {"recording": "noise.wav"}
    if plan["match"]:
        files["match.wav"] = np.vstack([np.zeros(int(8 * rate)), scale * hook("matched", matching(plan, count, noise_power))])
        show["microphoneMatch"] = {"recording": "match.wav", "channels": list(channels.values())}
    show, files, venue = hook("files", (show, files, venue))
    for name, x in files.items():
        write(folder / name, x, plan.get("rates", {}).get(name, rate), plan["encoding"])
    hook("written", folder)
    (folder / "venue.json").write_text(json.dumps(venue, indent=1))
    (folder / "show.json").write_text(json.dumps(show, indent=1))

    people = truth.people_at(venue, venue["positions"])
    offset, deviations = truth.offset(true, rate, people, plan["target"])
    snr = {take: 10 * np.log10(np.mean(clean[take][:, lead : lead + len(drive)] ** 2, axis=1) / noise_power) for take in ("mains", "subs")}
    alone = signals.coloured(len(drive), rate, plan["slope"], random) * np.sqrt(noise_power)
    in_band = {
        take: [signals.band_ratio(x[lead : lead + len(drive)], alone, truth.edges(*band), rate) for x in clean[take]]
        for take, band in (("mains", (500, 2000)), ("subs", (31.5, 80)))
    }
    sources = groups_of(plan)
    speed = speed_of_sound(plan["temperature"])
    nearest = [
        [1000 * min(np.linalg.norm(p - s) for s in points) / speed for p in in_hall(plan, plan["points"])] for points, _ in sources
    ]
    facts = {
        "seed": plan["seed"],
        "volume_m3": plan["hall"]["volume"],
        "decay_s": float(np.median([hall.decay_time(r, rate) for r in true[0]])),
        "decay_wanted_s": plan["hall"]["decay"],
        "signal": plan["signal"],
        "snr_db": plan["snr"],
        "noise_floor": plan["noise_floor"],
        "both": plan["both"],
        "match": plan["match"],
        "rate_hz": rate,
        "fault": fault.get("name"),
        "cause": cause.replace("{name}", plan["names"][plan.get("victim", 0)]).replace("{channel}", str(plan.get("victim", 0) + 2)),
        "strength": plan.get("strength"),
        "offset_db": offset,
        "positions": [
            {
                "id": name,
                "people": float(people[i]),
                "deviation_db": float(deviations[i]),
                "mains_snr_db": float(snr["mains"][i]),
                "subs_snr_db": float(snr["subs"][i]),
                "mid_band_snr_db": in_band["mains"][i],
                "low_band_snr_db": in_band["subs"][i],
                "mains_arrival_ms": 1000 * plan["latency"] + nearest[0][i],
                "subs_arrival_ms": 1000 * (plan["latency"] + plan["sub_delay"]) + nearest[1][i],
            }
            for i, name in enumerate(plan["names"])
        ],
        "subs_filters_ms": 1000 * truth.group_delay(chain_of(plan)[1], rate),
        "third_octaves_db": truth.levels(true, rate),
    }
    if len(seats):
        facts["seats"] = truth.at_seats(h[:, count : count + len(seats)], rate, plan["crossover"])
        facts["free_db"] = free_field(plan)
        facts["processor"] = {"delay_s": plan["sub_delay"], "polarity": plan["sub_polarity"]}
    (folder / "truth.json").write_text(json.dumps(facts, indent=1))


def seats_of(plan):
    """Places of the audience in cells of equal size, seven deep and six wide, at ears."""
    deep, width = plan["deep"], plan["hall"]["size"][1]
    x = (0.08 + 0.89 * (np.arange(7) + 0.5) / 7) * deep
    y = 0.85 * ((np.arange(6) + 0.5) / 6 - 0.5) * width
    return np.array([[a, b, plan["ear"]] for a in x for b in y])


def free_field(plan):
    """What the subs do in the low band over the mains in the mid band where neither has a room, in the middle of the floor, dB."""
    rate = plan["rate"]
    place = in_hall(plan, [0.5 * plan["deep"], 0, plan["ear"]])
    (mains, aims), (subs, _) = groups_of(plan)
    away = place - mains[0]
    distance = np.linalg.norm(away)
    octave = list(hall.OCTAVES).index(1000)
    gain = ((1 + away @ aims[0] / distance) / 2) ** hall.ARRAY[octave] / distance
    spectra = truth.Spectra(np.array(chain_of(plan))[:, None], rate)
    middle = gain**2 * spectra.mean(0, 0, *truth.edges(500, 2000))[0]
    low = (plan["sub_gain"] / np.linalg.norm(place - subs[0])) ** 2 * spectra.mean(1, 1, *truth.edges(31.5, 80))[0]
    return float(10 * np.log10(low / middle))


def matching(plan, count, noise_power):
    """All microphones in a bundle before the mains, each a little off as capsules of one kind are."""
    random, rate = plan["random"], plan["rate"]
    first = np.array([0.25 * plan["deep"], plan["hang"]["y"] * 0.8, plan["ear"]])
    close = random.uniform(0.04, 0.1)
    points = first + close * np.array([[0, k % 3, k // 3] for k in range(count)])
    group = groups_of(plan)[:1]
    raw = hall.responses(plan["hall"], group, in_hall(plan, points), speed_of_sound(plan["temperature"]), rate, random)[0]
    played = signals.pink(8, rate, random)
    x = signals.heard_through(played, raw)
    x *= 10 ** (random.normal(0, 0.15, count) / 20)[:, None]
    level = np.mean(x**2)
    quiet = np.sqrt(level * 10 ** (-max(20, plan["snr"]) / 10))
    return x + quiet * np.array([signals.coloured(x.shape[1], rate, plan["slope"], random) for _ in range(count)])


def write(path, x, rate, encoding):
    if encoding == "float32":
        data = x.T.astype(np.float32)
    else:
        data = np.round(np.clip(x.T, -1, 1) * (2**15 - 1 if encoding == "int16" else 2**31 - 1)).astype(encoding)
    wavfile.write(path, rate, np.ascontiguousarray(data))


def draw_venue(plan):
    """The venue file, only roughly right, as drawn with a tape measure and an ear for the decay."""
    random = plan["random"]
    about = lambda value, by: float(round(value + random.uniform(-by, by), 2))
    length, width, height = plan["hall"]["size"]
    hang, sub, deep = plan["hang"], plan["sub"], plan["deep"]
    decay = about(plan["hall"]["decay"], 0.15 * plan["hall"]["decay"])
    surface = 2 * (length * width + length * height + width * height)
    absorption = min(0.9, 1 - np.exp(-0.161 * length * width * height / (surface * decay)))
    elements = 6 if plan["flown"] else 1
    top = {
        "size": {"width": 0.7, "height": 0.26, "depth": 0.45},
        "level": {"40": 78, "60": 90, "90": 96, "160": 97, "1000": 97, "3000": 102, "6000": 107, "16000": 107},
        "pattern": {"kind": "piston", "width": 0.08, "height": 0.24, "rear": 14},
    }
    aim = {"horizontal": -8, "down": 4}
    if "seats" in plan:
        # What decides at every seat is drawn as a data sheet has it: one source a side, −6 dB at 58° for 1 kHz, aimed as it is.
        elements = 1
        top = {**top, "level": {"20": 97, "16000": 97}, "pattern": {"kind": "piston", "width": 0.25, "height": 0.25, "rear": 14}}
        down = np.degrees(np.arctan2(hang["z"] - plan["ear"], 0.6 * deep))
        aim = {"horizontal": about(-8.5, 2), "down": about(down, 2)}
    return {
        "name": "A hall",
        "story": "Drawn on the day.",
        "air": {"temperature": 20, "relativeHumidity": 50},
        "cabinets": {
            "top": top,
            "sub": {
                "size": {"width": 1.1, "height": 0.6, "depth": 0.8},
                "level": {"20": 88, "25": 96, "31.5": 104, "40": 107, "100": 107, "200": 100},
                "pattern": {"kind": "omni"},
            },
        },
        "mains": [
            {
                "name": "hang",
                "cabinet": "top",
                "top": {"x": about(hang["x"], 0.2), "y": about(hang["y"], 0.2), "z": round(min(about(hang["z"] + 0.13 * elements, 0.2), height - 0.05), 2)},
                "elements": elements,
                "aim": aim,
                **({"splay": [1, 2, 3, 4, 6]} if elements > 1 else {}),
                "mirror": True,
                "filters": [{"kind": "linkwitz-riley", "type": "highpass", "order": 4, "frequency": plan["crossover"]}],
            }
        ],
        "subs": [
            {
                "name": "sub",
                "layout": "pair",
                "cabinet": "sub",
                "position": {"x": about(sub["x"], 0.2), "y": max(0.6, about(sub["y"], 0.2)), "z": 0.3},
                "filters": [{"kind": "linkwitz-riley", "type": "lowpass", "order": 4, "frequency": plan["crossover"]}],
            }
        ],
        "audience": [
            {
                "name": "floor",
                "front": {"x": round(0.08 * deep, 2), "width": round(0.85 * width, 2)},
                "back": {"x": round(0.97 * deep, 2), "width": round(0.85 * width, 2)},
                "earHeight": plan["ear"],
                "density": 1.5,
            }
        ],
        "frontOfHouse": {
            "front": {"x": round(0.58 * deep, 2), "width": round(0.1 * width, 2)},
            "back": {"x": round(0.75 * deep, 2), "width": round(0.1 * width, 2)},
            "earHeight": plan["ear"],
        },
        "box": {
            "from": {"x": -about(plan["stage"], 0.2), "y": -about(width / 2, 0.1), "z": 0},
            "to": {"x": about(deep, 0.2), "y": about(width / 2, 0.1), "z": about(height, 0.1)},
            "absorption": {face: round(absorption, 3) for face in ("floor", "ceiling", "front", "back", "left", "right")},
        },
        "room": {"volume": about(length * width * height, 0.1 * plan["hall"]["volume"]), "surface": round(surface), "reverberationTime": decay},
        "positions": [
            {"id": name, "point": {"x": about(p[0], 0.3), "y": about(p[1], 0.3), "z": round(p[2], 2)}}
            for name, p in zip(plan["names"], plan["points"])
        ],
    }
