// @ts-nocheck
/** The page of `npm run record`: draws what the command tells, and asks for what is pressed. */
const dB = (x, digits = 1) => (x === null || x <= -119 ? "–" : minus(x.toFixed(digits)));

let complaint = "";

async function ask(wish) {
  const said = await post(wish);
  complaint = said.error ?? "";
  if (latest) drawNow(latest);
  return said;
}

const level = () => Number(at("level").value);
at("play").onclick = () => ask({ do: "play", level_db: level() });
at("quiet").onclick = () => ask({ do: "quiet" });
at("clear").onclick = () => ask({ do: "clearClips" });
const step = (by) => () => {
  at("level").value = String(level() + by);
  // Only what plays already changes at once; nothing begins to sound by these two.
  if (playing) ask({ do: "play", level_db: level() });
};
at("down").onclick = step(-3);
at("up").onclick = step(3);
// One key stops and one marks, wherever the focus is; presenters' remotes send the second of the latter.
addEventListener("keydown", (event) => {
  if (event.key === "Escape") ask({ do: "quiet" });
  const walks = latest?.recording?.step === "walk" && event.target.tagName !== "INPUT";
  if (!walks || event.repeat || !["m", "M", "PageDown"].includes(event.key)) return;
  event.preventDefault();
  ask({ do: "mark" });
});
for (const id of ["temperature", "humidity"]) at(id).onchange = () => ask({ do: "air", ...airIn(at) });

/** What stands in two fields; an empty one is nothing. */
function airIn(field) {
  const value = (id) => (field(id).value.trim() === "" ? null : Number(field(id).value));
  return { temperature: value("temperature"), humidity: value("humidity") };
}

let playing = false;
let latest;
let drawnNow = "";
let drawnPoints = "";
let drawnTakes = "";
let drawnLast = "";

listen(draw);

function draw(state) {
  latest = state;
  at("folder").textContent = state.folder;
  at("left").textContent = state.left_s === null ? "" : `The disk takes ${spell(state.left_s)} more.`;
  if (at("notes").childElementCount !== state.notes.length)
    at("notes").replaceChildren(...state.notes.map((note) => make("li", note)));
  drawInputs(state.inputs);
  playing = state.level.playing;
  at("level").max = String(Math.floor(state.level.most_db));
  say("level-state", levelWords(state.level));
  drawNow(state);
  drawPoints(state);
  drawTakes(state);
  drawLast(state);
}

const say = (id, text) => {
  if (at(id).textContent !== text) at(id).textContent = text;
};

/** What is to be done now, above all else and always in view. */
function drawNow(state) {
  const {
    recording,
    next,
    steps,
    last,
    level: { chosen_db },
  } = state;
  at("bar").hidden = !recording;
  const step = steps.find(({ id }) => id === (recording ? recording.step : next));
  const repeat = last && !recording && (!last.accepted || last.result?.doubts.length);
  at("now").className = recording ? "recording" : last && !recording && !last.accepted ? "refused" : "";
  let head;
  if (recording) {
    const { at_s, of_s, marks } = recording;
    at("bar").value = Math.min(1, at_s / of_s);
    head = `Recording: ${step.title}`;
    const passed = Object.keys(step.where);
    say(
      "progress-more",
      step.kind === "walk"
        ? `${marks.length} of ${passed.length} positions marked, ${at_s.toFixed(0)} s. Press M, or Page Down on a remote, as the microphone passes each.`
        : `${Math.min(at_s, of_s).toFixed(0)} of ${of_s.toFixed(0)} s. Escape stops.`,
    );
  } else if (repeat) {
    head = last.accepted ? `${last.title}: kept, but better repeated` : `${last.title}: can't be used`;
    say("progress-more", (last.accepted ? last.result.doubts : last.reasons)[0]);
  } else {
    head = step ? `Next: ${step.title}` : "All takes are recorded.";
    say(
      "progress-more",
      !step
        ? ""
        : step.plays && chosen_db === null
          ? "First play the signal below and raise its level by ear."
          : step.says,
    );
  }
  const asked = recording ? undefined : repeat ? steps.find(({ id }) => id === last.step) : step;
  say("now-caution", asked?.plays ? caution(asked, chosen_db) : "");
  at("progress").className = complaint || at("now").className === "refused" ? "bad" : "";
  say("progress", complaint || head);
  const key = JSON.stringify([
    recording?.step,
    recording?.marks,
    next,
    last?.id,
    last?.accepted,
    chosen_db,
    repeat,
  ]);
  if (key === drawnNow) return;
  drawnNow = key;
  at("now-buttons").replaceChildren(...nowButtons(state, step, repeat));
}

/** Stands before every button that makes sound. */
const caution = ({ kind, seconds }, chosen_db) =>
  `Plays for ${kind === "walk" ? "up to " : ""}${seconds} s${chosen_db === null ? "" : ` at ${dB(chosen_db, 0)} dB`}: protect your ears.`;

function nowButtons({ recording, last, level: { chosen_db } }, step, repeat) {
  if (recording) {
    const end = button(step.kind === "walk" ? "End the walk" : "Stop", () => ask({ do: "quiet" }), "stop");
    if (step.kind !== "walk") return [end];
    const passed = Object.keys(step.where);
    const [latestMark] = recording.marks.slice(-1);
    const following = passed[latestMark ? passed.indexOf(latestMark.position) + 1 : 0];
    return [
      ...passed.map((position) =>
        button(
          recording.marks.some((m) => m.position === position) ? `✓ ${position}` : position,
          () => ask({ do: "mark", position }),
          position === following ? "main" : "",
        ),
      ),
      end,
    ];
  }
  const record = (id, words, plays, style) => {
    const made = button(words, () => ask({ do: "take", id }), style);
    made.disabled = plays && chosen_db === null;
    return made;
  };
  return [
    ...(repeat ? [record(last.step, `Repeat ${last.step}`, true, "main")] : []),
    ...(step && !(repeat && step.id === last.step)
      ? [record(step.id, `Record ${step.id}`, step.plays, repeat ? "" : "main")]
      : []),
    ...(step ? [button("Pass over", () => ask({ do: "skip", id: step.id }))] : []),
  ];
}

function drawPoints({ points, recording, air, drawnAir }) {
  for (const id of ["temperature", "humidity"])
    if (document.activeElement !== at(id)) at(id).value = air[id] ?? "";
  say("drawn-air", drawnAir ? `, ${drawnAir.temperature} °C and ${drawnAir.humidity} % as drawn` : "");
  const key = JSON.stringify([points, Boolean(recording)]);
  if (key === drawnPoints) return;
  drawnPoints = key;
  const proposed = points.filter((p) => p.proposed > p.count);
  const names = proposed.map((p) => p.position).join(", ");
  say(
    "points-why",
    `Points around a seat: one point among a room's modes says little of it. Two more, half a metre away in different directions, are averaged with it.${names ? ` Proposed: ${proposed[0].proposed} points at ${names}, by which all else is judged.` : ""}`,
  );
  at("points").replaceChildren(
    ...(proposed.length
      ? [
          button(
            `Measure ${proposed[0].proposed} points at ${names}`,
            async () => {
              for (const { position, proposed: count } of proposed)
                await ask({ do: "points", position, count });
            },
            "",
            recording,
          ),
        ]
      : []),
    ...points.map(({ position, count }) => {
      const label = make("label", undefined, "count");
      const input = make("input");
      Object.assign(input, { type: "number", min: 1, max: 9, value: count, disabled: Boolean(recording) });
      input.onchange = () => ask({ do: "points", position, count: Number(input.value) });
      label.append(input, ` ${position}`);
      return label;
    }),
  );
}

function button(words, pressed, style = "", disabled = false) {
  const made = make("button", words, style);
  made.type = "button";
  made.disabled = Boolean(disabled);
  made.onclick = pressed;
  return made;
}

function levelWords({ chosen_db, playing: sounds }) {
  if (chosen_db === null)
    return "Nothing has been played yet; takes with the signal wait for a level that you have heard.";
  return sounds ? `Plays at ${dB(chosen_db, 0)} dB.` : `Silent. Takes will play at ${dB(chosen_db, 0)} dB.`;
}

function spell(seconds) {
  const hours = seconds / 3600;
  return hours >= 2 ? `${Math.floor(hours)} hours` : `${Math.floor(seconds / 60)} minutes`;
}

function drawInputs(inputs) {
  const body = at("inputs");
  if (body.childElementCount !== inputs.length)
    body.replaceChildren(
      ...inputs.map(({ number, role }) => {
        const row = make("tr");
        const meter = make("td");
        const frame = make("span", undefined, "meter");
        frame.append(make("span"), make("i"));
        meter.append(frame);
        row.append(make("th", number), make("td", role), meter, make("td"), make("td"), make("td"));
        row.firstChild.scope = "row";
        return row;
      }),
    );
  inputs.forEach((input, i) => {
    const cells = body.children[i].children;
    const width = (x) => `${Math.max(0, Math.min(100, (100 * (x + 80)) / 80))}%`;
    cells[2].firstChild.children[0].style.width = width(input.rms_db);
    cells[2].firstChild.children[1].style.left = width(input.hold_db);
    cells[3].textContent = dB(input.rms_db, 0);
    cells[4].textContent = dB(input.hold_db, 0);
    cells[5].textContent = input.clipped ? "clipped: lower the gain" : "";
    cells[5].className = input.clipped ? "bad" : "";
  });
}

function drawTakes({ steps, next, recording, walk, points, inputs, level: { chosen_db } }) {
  const key = JSON.stringify([steps, next, recording?.step, walk, chosen_db]);
  if (key === drawnTakes || at("takes").contains(document.activeElement?.closest("input"))) return;
  drawnTakes = key;
  at("takes").replaceChildren(
    ...steps.map((step) => {
      const item = make("li", undefined, step.id === next ? "next" : "");
      const where = Object.entries(step.where).map(([position, n]) => `${position} on input ${n}`);
      item.append(make("strong", step.title), ` ${step.says} `);
      if (where.length && step.kind !== "walk") item.append(make("span", `${where.join(", ")}. `, "faint"));
      if (step.plays) item.append(make("span", `${caution(step, chosen_db)} `, "faint"));
      if (step.kind === "walk") item.append(walkParts(walk, points, inputs, recording));
      const record = button(
        step.takes.length ? `Repeat ${step.id}` : `Record ${step.id}`,
        () => ask({ do: "take", id: step.id }),
        "",
        recording || (step.plays && chosen_db === null),
      );
      item.append(record);
      item.append(...step.takes.map((take) => takeRow(take, step, recording)));
      return item;
    }),
  );
}

/** A take that was accepted: its air, and how to be rid of it. */
function takeRow({ id, ...air }, { kind, takes }, recording) {
  const row = make("div", undefined, "take");
  row.append(make("span", `✓ ${id} `, "good"));
  if (["mains", "subs", "both"].includes(kind)) {
    const fields = {};
    for (const [name, unit] of [
      ["temperature", "°C"],
      ["humidity", "%"],
    ]) {
      const label = make("label", undefined, "air");
      const input = make("input");
      Object.assign(input, { type: "number", step: "any", value: air[name] ?? "" });
      input.setAttribute("aria-label", `${name} at ${id}`);
      input.onchange = () => ask({ do: "air", id, ...airIn((field) => fields[field]) });
      fields[name] = input;
      label.append(input, ` ${unit} `);
      row.append(label);
    }
    if (takes.length > 1) row.append(make("span", `one of ${takes.length}, averaged `, "faint"));
  }
  row.append(button(`Leave out ${id}`, () => ask({ do: "leaveOut", id }), "", recording));
  return row;
}

function walkParts(walk, points, inputs, recording) {
  const parts = make("div");
  const select = make("select");
  select.setAttribute("aria-label", "Input of the microphone that is carried");
  for (const { number, role } of inputs) {
    if (role !== "microphone") continue;
    const option = make("option", `input ${number}`);
    option.value = number;
    option.selected = number === walk.input;
    select.append(option);
  }
  const tell = (change) => ask({ do: "walk", ...walk, ...change });
  select.onchange = () => tell({ input: Number(select.value) });
  select.disabled = Boolean(recording);
  parts.append("Carried: ", select, " It passes, in this order: ");
  const all = [
    ...walk.positions,
    ...points.map((p) => p.position).filter((p) => !walk.positions.includes(p)),
  ];
  for (const position of all) {
    const label = make("label", undefined, "count");
    const box = make("input");
    Object.assign(box, {
      type: "checkbox",
      checked: walk.positions.includes(position),
      disabled: Boolean(recording),
    });
    box.onchange = () => {
      box.blur();
      tell({ positions: all.filter((p) => (p === position ? box.checked : walk.positions.includes(p))) });
    };
    label.append(box, ` ${position}`);
    parts.append(label);
  }
  return parts;
}

async function drawLast({ last, showFile }) {
  const key = JSON.stringify([last, showFile]);
  if (!last || key === drawnLast) return;
  drawnLast = key;
  const parts = [];
  const { id, accepted, reasons, result, walk } = last;
  if (accepted) parts.push(make("p", `${id} is recorded and good.`, "good"));
  else {
    parts.push(make("p", `${id} can't be used; repeat it:`, "bad"));
    parts.push(listOf(reasons));
  }
  if (result?.doubts.length) parts.push(make("p", "Better repeated:", "bad"), listOf(result.doubts));
  if (result) parts.push(...resultParts(last));
  if (walk) parts.push(listOf([...(walk.result?.reasons ?? []), ...walk.warnings]));
  if (showFile)
    parts.push(make("p", `The show file is ${showFile}: npm run study works it through.`, "faint"));
  at("last").replaceChildren(...parts);
  const { positions = [], path = null } = result || walk ? await ask({ do: "curves" }) : {};
  at("legend").replaceChildren();
  drawCurves(positions);
  drawPath(path);
}

function listOf(texts) {
  const list = make("ul");
  list.append(...texts.map((text) => make("li", text)));
  return list;
}

const withSign = (text) =>
  `${Number(text) > 0 ? "+" : ""}${Number(text) === 0 ? text.replace("-", "") : minus(text)}`;

function resultParts({ result, before }) {
  const parts = [];
  const table = make("table");
  const repeated = result.positions.some((p) => p.repeat_db !== null);
  const head = headings([
    "Position",
    "Delay, ms",
    "Expected, ms",
    "Level, dB re sent",
    "± by noise, dB",
    "To other positions before, dB",
    ...(repeated ? ["To the take before, dB"] : []),
    "Coherence",
  ]);
  const rows = result.positions.map((p) => {
    const row = make("tr");
    const number = (x, digits) => (x === null ? "–" : minus(x.toFixed(digits)));
    const change = (x) => (x === null ? "–" : withSign(x.toFixed(1)));
    const astray = p.expected_ms !== null && Math.abs(p.delay_ms - p.expected_ms) > 6;
    row.append(
      make("th", p.position),
      make("td", number(p.delay_ms, 1), astray ? "bad" : ""),
      make("td", number(p.expected_ms, 1)),
      make("td", number(p.level_db, 1)),
      make("td", number(p.error_db, 1), p.error_db > 1 ? "bad" : ""),
      make("td", change(p.difference_db)),
      ...(repeated ? [make("td", change(p.repeat_db))] : []),
      make("td", number(p.coherence, 2)),
    );
    row.firstChild.scope = "row";
    return row;
  });
  table.append(head, ...rows);
  parts.push(table);
  const told = [...result.repeats.filter((r) => !result.doubts.includes(r)), ...result.warnings];
  if (told.length) parts.push(listOf(told));
  parts.push(...estimateParts(result, before));
  return parts;
}

function estimateParts({ estimate: now, heard_s }, before) {
  if (!now) return [make("p", "The level offset is estimated as soon as two positions have mains and subs.")];
  const told = ({ offset_db, interval_db, positions }) =>
    `${withSign(offset_db.toFixed(1))} dB${interval_db ? ` (${dB(interval_db[0])} to ${dB(interval_db[1])})` : ""} by ${positions} positions`;
  const text = make("p", "Level offset of the subs, by the microphones alone: ");
  text.append(make("strong", told(now)), before ? `; before this take ${told(before)}.` : ".");
  return [
    text,
    make(
      "p",
      `A check while you record, by ${heard_s} s of each take; its interval holds the noise and nothing else. What to enter comes from npm run study, for every seat, and may differ.`,
      "faint",
    ),
  ];
}

function drawCurves(positions) {
  const svg = at("curves");
  svg.toggleAttribute("hidden", positions.length === 0);
  if (positions.length === 0) return;
  const all = positions.flatMap((p) => p.magnitude_db).filter((x) => x > -150);
  const top = Math.ceil(Math.max(...all) / 10) * 10;
  const bottom = top - 60;
  const x = (f) => 40 + (660 * Math.log10(f / 20)) / 3;
  const y = (v) => 10 + (210 * (top - Math.max(bottom, v))) / (top - bottom);
  const { shape, done } = canvas(svg);
  for (const f of [20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000]) {
    shape("line", { x1: x(f), x2: x(f), y1: 10, y2: 220 });
    shape("text", { x: x(f), y: 234, "text-anchor": "middle" }, f < 1000 ? f : `${f / 1000}k`);
  }
  for (let v = bottom; v <= top; v += 20) {
    shape("line", { x1: 40, x2: 700, y1: y(v), y2: y(v) });
    shape("text", { x: 34, y: y(v) + 4, "text-anchor": "end" }, minus(v));
  }
  shape("text", { x: 700, y: 252, "text-anchor": "end" }, "hertz; dB re what was sent");
  // Coherence below, on the same frequencies.
  const c = (v) => 350 - 80 * v;
  for (const v of [0, 0.5, 1]) {
    shape("line", { x1: 40, x2: 700, y1: c(v), y2: c(v) });
    shape("text", { x: 34, y: c(v) + 4, "text-anchor": "end" }, v);
  }
  shape("text", { x: 40, y: 366 }, "coherence");
  positions.forEach((p, i) => {
    const points = p.frequency_hz.map((f, k) => `${x(f).toFixed(1)},${y(p.magnitude_db[k]).toFixed(1)}`);
    shape("path", { d: `M${points.join("L")}`, stroke: hues[i % hues.length] });
    const coherent = p.frequency_hz.map((f, k) => `${x(f).toFixed(1)},${c(p.coherences[k] ?? 0).toFixed(1)}`);
    shape("path", { d: `M${coherent.join("L")}`, stroke: hues[i % hues.length] });
  });
  done();
  at("legend").append(
    ...positions.flatMap(({ position }, i) => {
      const mark = make("span", "━ ");
      mark.style.color = hues[i % hues.length];
      return [mark, `${position}  `];
    }),
  );
}

/** Low and mid band over the distance from the stage, where they part, and where to stop. */
function drawPath(path) {
  const svg = at("path");
  svg.toggleAttribute("hidden", !path);
  if (!path) return;
  const { points, best, parted, audience_db } = path;
  const { shape, done } = canvas(svg);
  const places = points.map((p) => p.point.x);
  const [near, far] = [Math.min(...places), Math.max(...places)];
  // The mid band is lifted by the audience's balance: where the lines lie on one another, balance is the audience's.
  const lifted = points.map((p) => p.mid_db + audience_db);
  const all = [...points.map((p) => p.low_db), ...lifted];
  const [top, bottom] = [Math.ceil(Math.max(...all) / 3) * 3, Math.floor(Math.min(...all) / 3) * 3];
  const x = (v) => 40 + (660 * (v - near)) / (far - near || 1);
  const y = (v) => 10 + (210 * (top - v)) / (top - bottom || 1);
  for (const { from_m, to_m } of parted) {
    const [a, b] = [x(Math.min(from_m, to_m)), x(Math.max(from_m, to_m))];
    shape("rect", { x: a - 2, y: 10, width: b - a + 4, height: 210, class: "parted" });
  }
  for (let v = bottom; v <= top; v += 3) {
    shape("line", { x1: 40, x2: 700, y1: y(v), y2: y(v) });
    shape("text", { x: 34, y: y(v) + 4, "text-anchor": "end" }, minus(v));
  }
  for (let v = Math.ceil(near / 5) * 5; v <= far; v += 5)
    shape("text", { x: x(v), y: 234, "text-anchor": "middle" }, v);
  shape("text", { x: 700, y: 252, "text-anchor": "end" }, "metres from the stage; dB re what was sent");
  const line = (values, stroke) =>
    shape("path", {
      d: `M${values.map((v, i) => `${x(places[i]).toFixed(1)},${y(v).toFixed(1)}`).join("L")}`,
      stroke,
    });
  line(
    points.map((p) => p.low_db),
    hues[0],
  );
  line(lifted, hues[1]);
  shape("line", { x1: x(best.point.x), x2: x(best.point.x), y1: 10, y2: 220, class: "best" });
  shape("text", { x: x(best.point.x), y: 266, "text-anchor": "middle" }, "best place to stop");
  done();
  const mark = (hue, text) => {
    const line = make("span", "━ ");
    line.style.color = hue;
    return [line, text];
  };
  at("legend").append(
    ...mark(hues[0], "low band, 31.5 to 80 Hz  "),
    ...mark(hues[1], "mid band, 500 to 2000 Hz, brought to the low band by the audience's balance. "),
    "Shaded: more than 3 dB apart.",
  );
}
