import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { capstone, capstoneRows } from "../../../lib/lesson/capstones/capstone";
import { readHandOver } from "../../../lib/lesson/capstones/hand-over";
import { capstones } from "../../../lib/lesson/capstones/list";
import { seatsOffAxis } from "../../../lib/lesson/exercises/audience-of";
import { variedVenue } from "../../../lib/lesson/exercises/varied-venue";
import { seats } from "../../../lib/venue/seats";

const data = join(__dirname, "../../../data");
const nothing = (x: number) =>
  `Subs: 0 dB, 0 ms later, polarity normal\nPlace: x ${x}, y 0\nThere: 0 dB\nBands: none`;

test("there are three capstones, in venues that no lesson has", () => {
  expect(capstoneRows()).toHaveLength(3);
  for (const { venue } of capstones) {
    expect(existsSync(join(data, "capstones", `${venue}.json`))).toBe(true);
    expect(readdirSync(join(data, "venues"))).not.toContain(`${venue}.json`);
  }
});

test("the seats by which a capstone is judged stand on the centre line no more often than people do", () => {
  for (const { venue } of capstones) {
    const drawing = variedVenue(`capstones/${venue}`, () => 0.5);
    const judged = seats(drawing, { count: seatsOffAxis(drawing) });
    const onAxis = judged.filter(({ point }) => Math.abs(point.y) < 0.3).length / judged.length;
    // 0.6 m of an audience 13 m wide, the narrowest, is 4.6 % of it.
    expect(onAxis, venue).toBeLessThanOrEqual(0.6 / 13 + 0.005);
  }
});

test("a hand-over may say a direction by its sign or by a word, with prose around", () => {
  const text = [
    "Dear engineer, mind the pillar.",
    "Subs: 2.5 dB softer, 1.5 ms earlier, polarity inverted",
    "place: x 20.5, y −3",
    "There: 1.5 dB less bass than the audience",
    "Bands: 50 Hz −4 dB, 80 Hz +3 dB",
    "Have a good night.",
  ].join("\n");
  expect(readHandOver(text)).toEqual({
    setting: { offset: -2.5, delay: -1.5, polarity: "inverted" },
    position: { x: 20.5, y: -3 },
    correction_db: -1.5,
    bands: [
      { frequency_hz: 50, heard_db: -4 },
      { frequency_hz: 80, heard_db: 3 },
    ],
  });
});

test("whatever of a hand-over can't be read is told at once, and a direction that contradicts itself is", () => {
  expect(() => readHandOver("Subs: louder\nThere: -2 dB less\nBands: the low ones")).toThrow(
    /Subs:.*has no level[\s\S]*Place:.*is missing[\s\S]*There:.*leave one out[\s\S]*Bands:.*no band/,
  );
  expect(() => readHandOver("Subs: -2 dB louder, 1 ms later, polarity inverted")).toThrow(
    /says the opposite/,
  );
  const four = "40 Hz +1 dB, 50 Hz +1 dB, 63 Hz +1 dB, 80 Hz +1 dB";
  expect(() => readHandOver(`Bands: ${four}`)).toThrow(/nobody remembers more than 3/);
  expect(() => readHandOver(undefined)).toThrow(/no text/);
});

test("minutes run down by what a run takes, and no run is longer than what is left", () => {
  const one = capstone("depot", 1); // 5 microphones, 32 minutes; 3 to set one up, 4 for a run
  one.measure(["floor 1", "floor 3", "floor 6"]);
  expect(one.minutesLeft).toBe(32 - 3 * 3 - 4);
  one.measure(["floor 1", "floor 3"]);
  expect(one.minutesLeft).toBe(32 - 3 * 3 - 4 - 4);
  expect(() => one.measure(["floor 2", "floor 4", "floor 5", "floor 2 far left", "floor 1"])).toThrow(
    /takes 16 minutes.*and 15 are left/,
  );
  expect(() => one.measure(["floor 1", "floor 2", "floor 3", "floor 4", "floor 5", "floor 6"])).toThrow(
    /5 microphones/,
  );
});

/** Levels of subs and mains at one position in a run with the subs turned up by so many decibels, dB. */
function levelsAt(variant: number, offset: number): readonly [number, number] {
  const setting = { offset, delay: 0, polarity: "normal" };
  const { subs, mains } = capstone("quarry", variant).measure(["terrace 4"], { setting });
  const level = (r: Response) => 10 * Math.log10(r.re.reduce((s, x, i) => s + x * x + r.im[i] ** 2, 0));
  return [level(subs[0]), level(mains[0])];
}

test("a run with a setting hears what the setting changes: ten decibels on the subs, none on the mains", () => {
  const [low, high] = [levelsAt(1, -20), levelsAt(1, -10)];
  expect(high[0] - low[0]).toBeCloseTo(10, 0);
  expect(high[1] - low[1]).toBeCloseTo(0, 1);
});

test("a limiter lets the subs be no louder than a level, in some variants; the mains never hear of it", () => {
  const variants = Array.from({ length: 8 }, (_, i) => 301 + i);
  const limited = variants.filter((variant) => {
    const [down, found, up] = [-10, 0, 10].map((offset) => levelsAt(variant, offset));
    expect(up[1]).toBeCloseTo(down[1], 1);
    const works = found[0] - down[0] < 9;
    // Where it works as found, nothing more comes when one asks for more.
    expect(up[0] - found[0]).toBeCloseTo(works ? 0 : 10, 0);
    if (works) expect(found[0] - down[0]).toBeGreaterThan(2.5);
    return works;
  });
  expect(limited.length).toBeGreaterThan(0);
  expect(limited.length).toBeLessThan(variants.length);
});

test("who takes the level of a limited run for the show's is told of the limiter", () => {
  const held = (variant: number) => 10 - (levelsAt(variant, 0)[0] - levelsAt(variant, -10)[0]);
  const [variant] = Array.from({ length: 8 }, (_, i) => 301 + i).sort((a, b) => held(b) - held(a));
  const one = capstone("quarry", variant);
  one.check(nothing(20));
  const { handOver } = one.solution();
  const louder = handOver.replace(
    /Subs: ([-+]?[\d.]+) dB/,
    (_, x) => `Subs: ${(Number(x) + held(variant)).toFixed(1)} dB`,
  );
  expect(louder).not.toBe(handOver);
  expect(one.check(louder).parts[0]).toMatchObject({ part: "subs", misconception: "limiter believed" });
});

test("who changes nothing is told so", () => {
  const idle = capstone("quarry", 2).check(nothing(20));
  expect(idle.passed).toBe(false);
  expect(idle.parts[0]).toMatchObject({ part: "subs", misconception: "left as it was" });
  expect(idle.words).toMatch(/^subs \d+: .* was possible\. Left as it was\. You changed nothing\./m);
  expect(idle.read).toBe(
    "I read: subs 0.0 dB, subs 0.0 ms later, polarity normal; place x 20.0, y 0.0; there as much bass as the audience; bands none.",
  );
});

test("the worked solution is worth all points, comes after an attempt, and the opposite sign of its correction costs some", () => {
  for (const [id, x] of [["quarry", 20]] as const) {
    const one = capstone(id, 3);
    expect(() => one.solution()).toThrow(/not tried yet/);
    one.check(nothing(x));
    expect(() => one.solution()).toThrow(/measure/);
    one.measure(["terrace 1"]);
    one.check(nothing(x));
    const { handOver } = one.solution();
    expect(one.check(handOver).score, id).toBeGreaterThanOrEqual(97);
    const wrong = one.check(handOver.replace(/There: .*/, "There: 6 dB less bass than the audience"));
    expect(wrong.parts.find((p) => p.part === "correction")?.score, id).toBe(0);
    expect(wrong.passed, id).toBe(false);
  }
});

test("a place outside the zone, an unknown capstone and a strange variant are refused in words", () => {
  expect(() => capstone("quarry", 1).check(nothing(2))).toThrow(/nobody may mix at x 2, y 0: the zone goes/);
  expect(() => capstone("nowhere" as never)).toThrow(/"quarry", "market-hall", "depot"/);
  expect(() => capstone("quarry", 0.5)).toThrow(/variant is 0.5/);
});
