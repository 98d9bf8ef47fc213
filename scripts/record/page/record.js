// @ts-nocheck
/** The page of `npm run record`: draws what the command tells, and asks for what is pressed. */
const dB = (x, digits = 1) => (x === null || x <= -119 ? "–" : minus(x.toFixed(digits)));

async function ask(wish) {
  const said = await post(wish);
  at("progress").className = said.error ? "bad" : "";
  if (said.error) at("progress").textContent = said.error;
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
// One key stops, wherever the focus is.
addEventListener("keydown", (event) => {
  if (event.key === "Escape") ask({ do: "quiet" });
});

let playing = false;
let drawnTakes = "";
let drawnLast = "";

listen(draw);

function draw(state) {
  at("folder").textContent = state.folder;
  at("left").textContent = state.left_s === null ? "" : `The disk takes ${spell(state.left_s)} more.`;
  if (at("notes").childElementCount !== state.notes.length)
    at("notes").replaceChildren(...state.notes.map((note) => make("li", note)));
  drawInputs(state.inputs);
  playing = state.level.playing;
  at("level").max = String(Math.floor(state.level.most_db));
  say("level-state", levelWords(state.level));
  if (state.recording) {
    const { id, at_s, of_s } = state.recording;
    say(
      "progress",
      `Recording ${id}: ${Math.min(at_s, of_s).toFixed(0)} of ${of_s.toFixed(0)} s. Escape stops.`,
    );
  } else if (at("progress").className !== "bad") say("progress", state.next ? "" : "All takes are recorded.");
  drawTakes(state);
  drawLast(state);
}

const say = (id, text) => {
  if (at(id).textContent !== text) at(id).textContent = text;
};

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

function drawTakes({ steps, next, recording, level: { chosen_db } }) {
  const key = JSON.stringify([steps, next, recording?.id, chosen_db]);
  if (key === drawnTakes) return;
  drawnTakes = key;
  at("takes").replaceChildren(
    ...steps.map((take) => {
      const item = make("li", undefined, take.id === next ? "next" : "");
      const where = Object.entries(take.where).map(([position, n]) => `${position} on input ${n}`);
      item.append(make("strong", take.title), ` ${take.says} `);
      if (where.length) item.append(make("span", `${where.join(", ")}. `, "faint"));
      if (take.plays)
        item.append(
          make(
            "span",
            `Plays for ${take.seconds} s${chosen_db === null ? "" : ` at ${dB(chosen_db, 0)} dB`}: protect your ears. `,
            "faint",
          ),
        );
      if (take.done) item.append(make("span", "Recorded. ", "good"));
      const button = make("button", take.done ? `Repeat ${take.id}` : `Record ${take.id}`);
      button.disabled = Boolean(recording) || (take.plays && chosen_db === null);
      button.onclick = () => ask({ do: "take", id: take.id });
      item.append(button);
      if (take.id === next) {
        const skip = make("button", "Pass over");
        skip.disabled = Boolean(recording);
        skip.onclick = () => ask({ do: "skip", id: take.id });
        item.append(skip);
      }
      return item;
    }),
  );
}

async function drawLast({ last, showFile }) {
  const key = JSON.stringify([last, showFile]);
  if (!last || key === drawnLast) return;
  drawnLast = key;
  const parts = [];
  if (last.accepted) parts.push(make("p", `${last.id} is recorded and good.`, "good"));
  else {
    parts.push(make("p", `${last.id} can't be used; repeat it:`, "bad"));
    const list = make("ul");
    list.append(...last.reasons.map((reason) => make("li", reason)));
    parts.push(list);
  }
  if (last.result) parts.push(...resultParts(last));
  if (showFile)
    parts.push(make("p", `The show file is ${showFile}: npm run study works it through.`, "faint"));
  at("last").replaceChildren(...parts);
  const { positions = [] } = last.result ? await ask({ do: "curves" }) : {};
  drawCurves(positions);
}

function resultParts({ result, before }) {
  const parts = [];
  const table = make("table");
  const head = headings([
    "Position",
    "Delay, ms",
    "Expected, ms",
    "Level, dB re sent",
    "To those before, dB",
    "Coherence",
  ]);
  const rows = result.positions.map((p) => {
    const row = make("tr");
    const number = (x, digits) => (x === null ? "–" : minus(x.toFixed(digits)));
    row.append(
      make("th", p.position),
      make("td", number(p.delay_ms, 1)),
      make(
        "td",
        number(p.expected_ms, 1),
        p.expected_ms !== null && Math.abs(p.delay_ms - p.expected_ms) > 6 ? "bad" : "",
      ),
      make("td", number(p.level_db, 1)),
      make("td", number(p.difference_db, 1)),
      make("td", number(p.coherence, 2)),
    );
    row.firstChild.scope = "row";
    return row;
  });
  table.append(head, ...rows);
  parts.push(table);
  const list = make("ul");
  list.append(...[...result.problems, ...result.warnings].map((text) => make("li", text)));
  if (list.childElementCount) parts.push(list);
  parts.push(make("p", estimateWords(result.estimate, before)));
  return parts;
}

function estimateWords(now, before) {
  if (!now) return "The level offset is estimated as soon as two positions have mains and subs.";
  const told = ({ offset_db, interval_db, positions }) =>
    `${offset_db > 0 ? "+" : ""}${dB(offset_db)} dB${interval_db ? ` (${dB(interval_db[0])} to ${dB(interval_db[1])})` : ""} by ${positions} positions`;
  return `Level offset of the subs, by the microphones alone: ${told(now)}${before ? `; before this take ${told(before)}` : ""}. A check while you record, by 15 s of each take; its interval holds the noise and nothing else. What to enter comes from npm run study, for every seat, and may differ.`;
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
  positions.forEach((p, i) => {
    const points = p.frequency_hz.map((f, k) => `${x(f).toFixed(1)},${y(p.magnitude_db[k]).toFixed(1)}`);
    shape("path", { d: `M${points.join("L")}`, stroke: hues[i % hues.length] });
  });
  done();
  at("legend").replaceChildren(
    ...positions.flatMap(({ position }, i) => {
      const mark = make("span", "━ ");
      mark.style.color = hues[i % hues.length];
      return [mark, `${position}  `];
    }),
  );
}
