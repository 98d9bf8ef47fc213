// @ts-nocheck
/** The page of `npm run new-show`: shows the proposal as tables and pictures, and hands changes on. */
const FOOT = 0.3048;
let unit = "m";
let state;

async function ask(wish) {
  const said = await post(wish);
  at("said").className = said.error ? "bad" : "";
  at("said").textContent = said.error ?? "";
  return said;
}

function choice(label, options, value, changed) {
  const select = make("select");
  select.setAttribute("aria-label", label);
  for (const option of options) {
    const item = make("option", option);
    item.selected = option === value;
    select.append(item);
  }
  select.onchange = () => changed(select.value);
  return select;
}

function field(label, value, type, changed) {
  const input = make("input");
  input.type = type;
  input.value = value;
  input.setAttribute("aria-label", label);
  if (type === "number") input.step = "any";
  input.onchange = () => changed(input.value);
  return input;
}

listen(draw);

function draw(now) {
  const focused = document.activeElement?.getAttribute("aria-label");
  state = now;
  at("folder").textContent = now.folder;
  if (document.activeElement !== at("name")) at("name").value = now.name;
  at("doubts").replaceChildren(...now.doubts.map((doubt) => make("li", doubt, "bad")));
  at("takes").replaceChildren(...now.takes.flatMap(takeParts));
  drawDistance();
  drawForm();
  drawPlan();
  at("written").textContent = now.written
    ? `Written: ${now.written.venue} and ${now.written.show}. Next: npm run study -- ${JSON.stringify(now.folder)}`
    : "";
  // What was drawn anew keeps the place of the keyboard.
  if (focused) document.querySelector(`[aria-label="${CSS.escape(focused)}"]`)?.focus();
}

at("name").onchange = () => ask({ do: "name", name: at("name").value });
for (const id of ["temperature", "humidity"])
  at(id).onchange = () =>
    ask({ do: "air", temperature: degrees("temperature"), humidity: degrees("humidity") });
const degrees = (id) => (at(id).value.trim() === "" ? null : Number(at(id).value));
at("write").onclick = () => ask({ do: "write" });

function takeParts(take, index) {
  const head = make("h3", `${take.name} `);
  head.append(
    choice(`What ${take.name} holds`, state.holds, take.holds, (holds) =>
      ask({ do: "holds", take: index, holds }),
    ),
  );
  head.append(make("span", ` ${take.because}`, "faint"));
  const air = make("p", undefined, "faint");
  const told = (change) =>
    ask({ do: "air", take: index, temperature: take.temperature, humidity: take.humidity, ...change });
  const number = (text) => (text.trim() === "" ? null : Number(text));
  const asked = ["mains", "subs", "both"].includes(take.holds);
  if (asked)
    air.append(
      "Air: ",
      field(`Temperature at ${take.name}`, take.temperature ?? "", "number", (text) =>
        told({ temperature: number(text) }),
      ),
      " °C ",
      field(`Humidity at ${take.name}`, take.humidity ?? "", "number", (text) =>
        told({ humidity: number(text) }),
      ),
      " %",
    );
  const table = make("table");
  const names = headings([
    "File, channel",
    "Use",
    "Position",
    "Delay, ms",
    "Expected, ms",
    "Low band, dB",
    "Mid band, dB",
  ]);
  // Each position, and points around it: those that there are, and one more.
  const ids = state.drawn
    ? ["", ...state.positions.flatMap(({ id }) => [id, ...pointsAround(id)])]
    : undefined;
  const rows = take.tracks.map((track, i) => {
    const row = make("tr");
    const label = `${track.file}, ${track.channel}`;
    const use = make("td");
    use.append(
      choice(`Use of ${label}`, state.uses, track.use, (value) =>
        ask({ do: "track", take: index, track: i, use: value }),
      ),
    );
    const where = make("td");
    const changed = (position) => ask({ do: "track", take: index, track: i, position });
    if (track.use === "microphone")
      where.append(
        ids
          ? choice(`Position of ${label}`, ids, track.position ?? "", changed)
          : field(`Position of ${label}`, track.position ?? "", "text", changed),
      );
    const decibels = (x) => (x === undefined ? "–" : minus(x.toFixed(1)));
    const off = track.expected_ms !== undefined && Math.abs(track.delay_ms - track.expected_ms) > 6;
    row.append(
      make("th", label),
      use,
      where,
      make("td", decibels(track.delay_ms)),
      make("td", decibels(track.expected_ms), off ? "bad" : ""),
      make("td", decibels(track.low_db)),
      make("td", decibels(track.mid_db)),
    );
    row.firstChild.scope = "row";
    return row;
  });
  table.append(names, ...rows);
  return [head, ...(asked ? [air] : []), table, spectra(take)];
}

function pointsAround(id) {
  const names = state.takes.flatMap((take) => take.tracks.map(({ position }) => position ?? ""));
  let count = 2;
  while (names.includes(`${id}/${count}`)) count++;
  return Array.from({ length: count - 1 }, (_, i) => `${id}/${i + 2}`);
}

/** Third octaves of each channel; the reference is dashed. */
function spectra(take) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "0 0 720 150");
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", `Third-octave levels of ${take.name}`);
  const { shape, done } = canvas(svg);
  const x = (f) => 40 + (660 * Math.log10(f / 25)) / Math.log10(8000 / 25);
  const y = (v) => 10 + (115 * -Math.max(-110, v)) / 110;
  for (const f of [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000]) {
    shape("line", { x1: x(f), x2: x(f), y1: 10, y2: 125 });
    shape("text", { x: x(f), y: 140, "text-anchor": "middle" }, f);
  }
  for (const v of [0, -40, -80]) shape("text", { x: 34, y: y(v) + 4, "text-anchor": "end" }, minus(v));
  take.tracks.forEach((track, i) => {
    const points = track.thirds.map(
      ({ frequency, level }) => `${x(frequency).toFixed(1)},${y(level).toFixed(1)}`,
    );
    const dash = track.use === "reference" ? { "stroke-dasharray": "6 4" } : {};
    if (points.length) shape("path", { d: `M${points.join("L")}`, stroke: hues[i % hues.length], ...dash });
  });
  done();
  return svg;
}

function drawDistance() {
  const { shape, done } = canvas(at("distance"));
  const take =
    state.takes.find(({ holds }) => holds === "mains") ?? state.takes.find(({ holds }) => holds === "both");
  const points = (take?.tracks ?? []).flatMap(({ position, delay_ms, expected_ms, use }) => {
    const place = state.positions.find(({ id }) => id === position?.replace(/\/\d+$/, ""));
    return place && delay_ms !== undefined && use === "microphone"
      ? [{ position, x: place.x, delay_ms, expected_ms }]
      : [];
  });
  if (points.length === 0) {
    shape("text", { x: 40, y: 40 }, "No delays: no take has a reference and treble.");
    done();
    return;
  }
  const farthest = Math.max(10, ...points.map((p) => p.x));
  const latest = Math.max(10, ...points.map((p) => p.delay_ms));
  const x = (v) => 50 + (640 * v) / farthest;
  const y = (v) => 220 - (200 * v) / latest;
  shape("line", { x1: 50, x2: 690, y1: 220, y2: 220 });
  shape("line", { x1: 50, x2: 50, y1: 20, y2: 220 });
  shape(
    "text",
    { x: 690, y: 250, "text-anchor": "end" },
    `metres from the stage, to ${farthest.toFixed(0)}; milliseconds, to ${latest.toFixed(0)}`,
  );
  points.forEach((p, i) => {
    if (p.expected_ms !== undefined)
      shape("circle", { cx: x(p.x), cy: y(p.expected_ms), r: 7, fill: "none", stroke: "currentColor" });
    shape("circle", { cx: x(p.x), cy: y(p.delay_ms), r: 4, fill: hues[i % hues.length] });
    shape("text", { x: x(p.x) - 8, y: y(p.delay_ms) - 10, "text-anchor": "end" }, p.position);
  });
  done();
}

const shown = (metres) => String(Math.round((10 * metres) / (unit === "ft" ? FOOT : 1)) / 10);
const meant = (text) => Number(text) * (unit === "ft" ? FOOT : 1);

function drawForm() {
  at("drawn").textContent = state.drawn
    ? "venue.json in the folder is the drawing."
    : "There is no venue.json: a few numbers draw one. They can be corrected in the file later.";
  if (state.drawn) {
    at("form").replaceChildren();
    return;
  }
  const rows = state.questions.map(({ key, says, length }) => {
    const line = make("p");
    line.append(
      field(says, length ? shown(state.form[key]) : state.form[key], "number", (text) =>
        ask({ do: "form", form: { [key]: length ? meant(text) : Number(text) } }),
      ),
      ` ${length ? unit : ""} ${says}`,
    );
    return line;
  });
  const units = make("p");
  units.append(
    choice("Units", ["m", "ft"], unit, (value) => {
      unit = value;
      draw(state);
    }),
    " units",
  );
  const places = state.positions.map(({ id, x, y }) => {
    const line = make("p");
    line.append(
      field(`${id}: distance from the stage`, shown(x), "number", (text) =>
        ask({ do: "position", id, x: meant(text), y }),
      ),
      field(`${id}: to house left`, shown(y), "number", (text) =>
        ask({ do: "position", id, x, y: meant(text) }),
      ),
      ` ${unit} from the stage and to house left: ${id}`,
    );
    return line;
  });
  at("form").replaceChildren(units, ...rows, ...places);
}

/** Plan at the left with the stage on top, section at the right. */
function drawPlan() {
  const { shape, done } = canvas(at("plan"));
  at("plan").toggleAttribute("hidden", state.drawn);
  if (state.drawn) return done();
  const { form, positions } = state;
  const depth = form.wall > 0 ? form.wall + 1 : 3;
  const scale = Math.min(260 / (form.back + depth + 2), 300 / Math.max(form.width, form["array-spacing"], 6));
  const px = (y) => 170 - scale * y;
  const py = (x) => 20 + scale * (x + depth);
  const box = (x1, y1, x2, y2, more = {}) =>
    shape("rect", {
      x: Math.min(x1, x2),
      y: Math.min(y1, y2),
      width: Math.abs(x2 - x1),
      height: Math.abs(y2 - y1),
      fill: "none",
      stroke: "currentColor",
      ...more,
    });
  shape("text", { x: 10, y: 12 }, "plan");
  box(px(form.width / 2), py(form.front), px(-form.width / 2), py(form.back));
  const wide = Math.max(form.width, form["array-spacing"]) / 2;
  shape("line", { x1: px(wide), x2: px(-wide), y1: py(0), y2: py(0) });
  if (form.wall > 0) box(px(wide), py(-form.wall - 0.8), px(-wide), py(-form.wall - 0.8) + 1);
  const both = (spacing) => (spacing > 0 ? [spacing / 2, -spacing / 2] : [0]);
  for (const y of both(form["array-spacing"]))
    box(px(y) - 5, py(0) - 4, px(y) + 5, py(0), { fill: "currentColor" });
  for (const y of both(form["sub-spacing"])) box(px(y) - 4, py(0.3) + 1, px(y) + 4, py(0.3) + 6);
  for (const { id, x, y } of positions) {
    shape("circle", { cx: px(y), cy: py(x), r: 3, fill: hues[0] });
    shape("text", { x: px(y) + 6, y: py(x) + 4 }, id);
  }
  const sx = (x) => 380 + (320 / (form.back + depth + 2)) * (x + depth);
  const high = Math.max(form["array-height"], form.ceiling, 3) + 1;
  const sy = (z) => 280 - (240 / high) * z;
  shape("text", { x: 380, y: 12 }, "section");
  shape("line", { x1: sx(-depth), x2: sx(form.back + 2), y1: sy(0), y2: sy(0) });
  if (form.ceiling > 0)
    shape("line", { x1: sx(-depth), x2: sx(form.back + 2), y1: sy(form.ceiling), y2: sy(form.ceiling) });
  if (form.wall > 0)
    shape("line", {
      x1: sx(-form.wall - 0.8),
      x2: sx(-form.wall - 0.8),
      y1: sy(0),
      y2: sy(Math.min(high, 4)),
    });
  box(
    sx(0) - 3,
    sy(form["array-height"]),
    sx(0) + 3,
    sy(Math.max(0, form["array-height"] - 0.28 * form.elements)),
    { fill: "currentColor" },
  );
  box(sx(0.3) - 4, sy(0.6), sx(0.3) + 4, sy(0));
  shape("line", { x1: sx(form.front), x2: sx(form.back), y1: sy(1.2), y2: sy(1.2) });
  for (const { x } of positions) shape("circle", { cx: sx(x), cy: sy(1.2), r: 3, fill: hues[0] });
  done();
}
