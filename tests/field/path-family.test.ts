// A family must give what each of its venues gives alone: modelSurvey walks every path anew.
import { expect, test } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import type { Response } from "../../lib/acoustics/response";
import { modelSurvey } from "../../lib/field/model-survey";
import { pathFamily } from "../../lib/field/path-family";
import type { Survey } from "../../lib/survey/survey";
import type { Boundary, Source, Venue } from "../../lib/venue/venue";
import { type Show, show } from "../decision/calibration/shows";

// A hall with a cavity under its stage, four sources, and a wall on each side.
const { file, measured } = [1, 2, 3, 4, 5, 6, 7, 8, 9]
  .map(show)
  .find((s) => s.file.cavities.length > 0) as Show;
const positions = measured.positions;
// Below where reflections of the subs are left out, which a change of their level would move.
const options = { frequency: logGrid(30, 500, 40), lowBand: "paths" as const };

const sources = (venue: Venue, group: Source["group"], change: (s: Source) => Partial<Source>): Venue => ({
  ...venue,
  sources: venue.sources.map((s) => (s.group === group ? { ...s, ...change(s) } : s)),
});
const walls = (venue: Venue, change: (b: Boundary) => number): Venue => ({
  ...venue,
  boundaries: venue.boundaries.map((b) => ({
    ...b,
    absorption: { ...b.absorption, value: b.absorption.value.map(() => change(b)) },
  })),
});

/** Largest difference of any value, against the largest of its response. */
function difference(a: Survey, b: Survey): number {
  const of = (x: Response, y: Response) => {
    const largest = Math.max(...x.re.map((re, f) => Math.hypot(re, x.im[f])));
    const off = x.re.map((re, f) =>
      Math.max(
        Math.abs(re - y.re[f]),
        Math.abs(x.im[f] - y.im[f]),
        Math.sqrt(Math.abs((x.diffuse?.[f] ?? 0) - (y.diffuse?.[f] ?? 0))),
      ),
    );
    return Math.max(...off) / largest;
  };
  return Math.max(...positions.flatMap((_, i) => [of(a.mains[i], b.mains[i]), of(a.subs[i], b.subs[i])]));
}

test.each<[string, (venue: Venue) => Venue]>([
  ["nothing", (v) => ({ ...v })],
  [
    "level, tilt, polarity and delay of the subs",
    (v) =>
      sources(v, "subs", (s) => ({
        gain: s.gain + 3,
        delay: 0.004,
        polarity: -1,
        level: { ...s.level, level: s.level.level.map((l, i) => l - i) },
      })),
  ],
  ["one sub's level alone", (v) => sources(v, "subs", (s) => ({ gain: s.point.y > 0 ? 6 : 0 }))],
  ["a filter of the mains", (v) => sources(v, "mains", (s) => ({ filters: s.filters.slice(1) }))],
  ["every wall's absorption", (v) => walls(v, (b) => 0.1 + b.name.length / 40)],
  ["places of the subs", (v) => sources(v, "subs", (s) => ({ point: { ...s.point, x: s.point.x + 0.3 } }))],
  ["temperature", (v) => ({ ...v, air: { ...v.air, temperature: 29 } })],
  [
    "depth of the cavity",
    (v) => ({ ...v, cavities: v.cavities.map((c) => ({ ...c, depth: c.depth + 0.4 })) }),
  ],
  [
    "reverberation",
    (v) => ({
      ...v,
      room: v.room && { ...v.room, reverberationTime: { frequency: [100], value: [2.5] } },
    }),
  ],
])("a family's member that differs by %s is modelled as by itself", (_, change) => {
  const model = pathFamily(positions, options);
  model(file);
  const member = change(file);
  expect(difference(modelSurvey(member, positions, options), model(member))).toBeLessThan(1e-7);
  // The first is still itself.
  expect(difference(modelSurvey(file, positions, options), model(file))).toBeLessThan(1e-7);
});

test("the changes tried are changes", () => {
  const louder = sources(file, "subs", (s) => ({ gain: s.gain + 3 }));
  const soft = walls(file, () => 0.9);
  for (const member of [louder, soft]) {
    expect(
      difference(modelSurvey(file, positions, options), modelSurvey(member, positions, options)),
    ).toBeGreaterThan(0.05);
  }
});
