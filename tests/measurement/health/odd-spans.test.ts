import { expect, test } from "vitest";
import { oddSpans } from "../../../lib/measurement/health/odd-spans";
import { MOMENT } from "../../../lib/measurement/transfer/power-over-time";
import { normal } from "../../../lib/numeric/random";

const moments = 120;
/** Powers in a band; noise of so many degrees of freedom wavers by √(2 / n). */
function band(sound: (t: number) => number, besides: (t: number) => number, seed = 1) {
  const next = normal(seed);
  const explained = Float64Array.from({ length: moments }, (_, t) => sound(t));
  const rest = Float64Array.from({ length: moments }, (_, t) => {
    const noise = 0.05 * Math.max(0.1, 1 + 0.2 * next());
    return noise + besides(t);
  });
  return { explained, rest, heard: explained.map((x, t) => x + rest[t]) };
}
const beat = (t: number) => (t % 7 === 0 ? 4 : t % 40 > 32 ? 0 : 0.5);
const between = (from: number, to: number) => (t: number) => (t * MOMENT >= from && t * MOMENT < to ? 1 : 0);

test("nothing is odd in steady noise, under music with pauses and under a sweep that comes round", () => {
  for (const sound of [() => 1, beat, (t: number) => (t % 40 < 5 ? 8 : 0)]) {
    for (let seed = 1; seed < 30; seed++) expect(oddSpans([[band(sound, () => 0, seed)]])).toEqual([]);
  }
});

test("what passes is found where it is, with those who heard it and what it does to the level", () => {
  const passing = between(10, 14);
  const spans = oddSpans([
    [band(beat, () => 0)],
    [band(beat, (t) => 2 * passing(t))],
    [band(beat, () => 0), band(beat, (t) => 0.7 * passing(t))],
  ]);
  expect(spans.length).toBe(1);
  const [{ from, to, microphones, excess, kind }] = spans;
  expect(from).toBeGreaterThan(8.5);
  expect(from).toBeLessThanOrEqual(10);
  expect(to).toBeGreaterThanOrEqual(14);
  expect(to).toBeLessThan(15.7);
  expect(microphones).toEqual([1, 2]);
  expect(kind).toBe("more");
  // 4 s of 30 s, twice as loud as the sound on one of its moments.
  const sound =
    Array.from({ length: moments }, (_, t) => beat(t)).reduce<number>((a, b) => a + b, 0) / moments;
  expect(excess).toBeGreaterThan((0.8 * 2 * 4) / 30 / sound);
  expect(excess).toBeLessThan((1.05 * 2 * 4) / 30 / sound);
});

test("sound that is gone for a while is odd, a phase that turns is not", () => {
  const gone = band(() => 1, between(10, 14));
  const heard = gone.explained.map((x, t) => x * (1 - between(10, 14)(t)));
  const [span] = oddSpans([[{ ...gone, heard }]]);
  expect(span.kind).toBe("less");
  const turned = band(() => 1, between(10, 14));
  expect(oddSpans([[{ ...turned, heard: turned.explained }]])).toEqual([]);
});

test("what is of no account for the level is not told", () => {
  expect(
    oddSpans([
      [
        band(
          () => 50,
          (t) => 1.5 * between(10, 14)(t),
        ),
      ],
    ]),
  ).toEqual([]);
});
