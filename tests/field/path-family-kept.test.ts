// What a family keeps: sums over paths, as long as nothing stands or travels otherwise. Each member is as modelled by itself.
import { beforeEach, expect, it, vi } from "vitest";
import { chainField } from "../../lib/field/group-field";
import { modelSurvey } from "../../lib/field/model-survey";
import { pathFamily } from "../../lib/field/path-family";
import type { Source, Venue } from "../../lib/venue/venue";
import { at, source, venue, wall } from "./venues";

vi.mock("../../lib/field/group-field", async (original) => {
  const real = await original<typeof import("../../lib/field/group-field")>();
  return { ...real, chainField: vi.fn(real.chainField) };
});
beforeEach(() => {
  vi.mocked(chainField).mockClear();
});

const options = { frequency: Float64Array.from({ length: 11 }, (_, i) => 25 + 7 * i), order: 3 };
const positions = [at(8, 0, 1.2), at(14, 5, 1.7)];
const quiet = (level: number) => ({ frequency: [30, 80], level: [level, level + 4] });
const hall = venue({
  sources: [
    source({ x: 0, y: 3, z: 0.5 }, { id: "a", delay: 0.003, level: quiet(20) }),
    source({ x: 0, y: -3, z: 0.5 }, { id: "b", delay: 0.001, level: quiet(23), polarity: -1 }),
  ],
  boundaries: [wall("z", 0), wall("x", -2), wall("x", 30)],
  room: { volume: 4000, surface: 1700, reverberationTime: { frequency: [50], value: [1.6] } },
});
const each = (v: Venue, change: (s: Source) => Partial<Source>): Venue => ({
  ...v,
  sources: v.sources.map((s) => ({ ...s, ...change(s) })),
});
const moved = (x: number) => each(hall, ({ point }) => ({ point: { ...point, x } }));

/** How often paths of some source were walked. */
const walks = () => vi.mocked(chainField).mock.calls.filter(([, sources]) => sources.length > 0).length;

function expectAsAlone(model: ReturnType<typeof pathFamily>, v: Venue): void {
  const [kept, alone] = [model(v).subs, modelSurvey(v, positions, options).subs];
  kept.forEach(({ re, im, diffuse }, p) => {
    expect(diffuse?.length).toBe(alone[p].diffuse?.length);
    diffuse?.forEach((x, f) => {
      expect(x / (alone[p].diffuse as Float64Array)[f]).toBeCloseTo(1, 9);
    });
    re.forEach((x, f) => {
      const largest = Math.hypot(alone[p].re[f], alone[p].im[f]);
      expect(Math.hypot(x - alone[p].re[f], im[f] - alone[p].im[f]) / largest).toBeLessThan(2e-6);
    });
  });
}

it.each<[string, (v: Venue) => Venue]>([
  ["nothing", (v) => ({ ...v })],
  ["level and delay of both subs", (v) => each(v, (s) => ({ gain: s.gain + 3, delay: s.delay + 0.002 }))],
  ["room: none", (v) => ({ ...v, room: undefined })],
  ["polarity of both subs", (v) => each(v, (s) => ({ polarity: s.polarity === 1 ? -1 : 1 }))],
  [
    "a filter of both subs",
    (v) => each(v, () => ({ filters: [{ kind: "peak", frequency: 50, gain: 6, q: 2 }] })),
  ],
  [
    "absorption",
    (v) => ({
      ...v,
      boundaries: [wall("z", 0, 2000, { frequency: [50], value: [0.5] }), ...v.boundaries.slice(1)],
    }),
  ],
])("walks no path anew for another %s", (_, change) => {
  const model = pathFamily(positions, options);
  expectAsAlone(model, hall);
  expect(walks()).toBe(1);
  expectAsAlone(model, change(hall));
  // What is kept has not been changed by it.
  expectAsAlone(
    model,
    each(change(hall), (s) => ({ gain: s.gain + 1 })),
  );
  expect(walks()).toBe(1);
});

it.each<[string, Venue]>([
  ["a place", moved(0.3)],
  ["one sub's level by a thousandth of a decibel", each(hall, (s) => ({ gain: s.id === "a" ? 0.001 : 0 }))],
  ["one sub's delay", each(hall, (s) => ({ delay: s.id === "b" ? 0.004 : s.delay }))],
  ["wall", { ...hall, boundaries: [wall("z", 0), wall("x", -1), wall("x", 30)] }],
  ["a temperature", { ...hall, air: { ...hall.air, temperature: 30 } }],
])("walks them anew for another %s", (_, other) => {
  const model = pathFamily(positions, options);
  expectAsAlone(model, hall);
  expectAsAlone(model, other);
  expect(walks()).toBe(2);
});

it("keeps what was asked for last, of a few members", () => {
  const model = pathFamily(positions, options);
  for (let i = 0; i < 4; i++) model(moved(i / 10));
  expectAsAlone(model, moved(0));
  expect(walks()).toBe(4);
  for (let i = 4; i < 40; i++) model(moved(i / 10));
  expectAsAlone(model, moved(3.9));
  expect(walks()).toBe(40);
  // The first is long forgotten.
  expectAsAlone(model, moved(0));
  expect(walks()).toBe(41);
});
