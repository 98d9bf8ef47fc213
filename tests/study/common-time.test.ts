import { expect, test } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import { later, type Response } from "../../lib/acoustics/response";
import { normal } from "../../lib/numeric/random";
import { timeFromSum } from "../../lib/study/common-time";
import { relatePhases } from "../../lib/study/relate-phases";

const frequency = logGrid(20, 400, 110);

/** Mains above and subs below some 85 Hz in a room: a few arrivals each, no two alike. */
function position(seed: number) {
  const next = normal(seed);
  const arrivals = Array.from({ length: 5 }, () => ({ at: 0.04 * Math.abs(next()), size: next() }));
  const response = (gain: (f: number) => number): Response => {
    const part = (of: (angle: number) => number) =>
      frequency.map((f) =>
        arrivals.reduce((sum, { at, size }) => sum + gain(f) * size * of(2 * Math.PI * f * at), 0),
      );
    return { frequency, re: part(Math.cos), im: part((angle) => -Math.sin(angle)) };
  };
  const high = (f: number) => (f / 85) ** 4 / (1 + (f / 85) ** 4);
  return { mains: response(high), subs: response((f) => 1 - high(f)) };
}
const plus = (a: Response, b: Response): Response => ({
  frequency,
  re: a.re.map((x, i) => x + b.re[i]),
  im: a.im.map((x, i) => x + b.im[i]),
});

test("the subs' time is the one at which mains and subs make the sum of both", () => {
  for (const seconds of [-0.008, 0, 0.0031, 0.012]) {
    const heard = [1, 2, 3].map((seed) => {
      const { mains, subs } = position(seed);
      return { mains, subs: later(subs, -seconds), both: plus(mains, subs) };
    });
    expect(timeFromSum(heard)).toBeCloseTo(seconds, 5);
  }
});

test("there is none where both is something else", () => {
  const heard = [1, 2, 3].map((seed) => ({ ...position(seed), both: position(seed + 20).mains }));
  expect(timeFromSum(heard)).toBe(undefined);
  expect(timeFromSum([])).toBe(undefined);
});

test("subs without a time base keep their level and lose their phase, which is said once", () => {
  const responses = new Map(
    ["row A", "row B"].map((id, i) => {
      const { mains, subs } = position(i);
      return [id, new Map<"mains" | "subs" | "both", Response>(Object.entries({ mains, subs }) as never)];
    }),
  );
  const warnings: string[] = [];
  const before = responses.get("row A")!.get("subs")!;
  const refused = relatePhases(responses, new Map([["row B", true]]), warnings);
  expect(refused).toEqual(["row A"]);
  expect(warnings).toEqual([expect.stringMatching(/share no time base at "?row A"?: they add by power/)]);
  const after = responses.get("row A")!.get("subs")!;
  expect(after.magnitudeOnly).toBe(true);
  after.re.forEach((x, i) => {
    expect(x).toBeCloseTo(Math.hypot(before.re[i], before.im[i]), 12);
  });
  expect(responses.get("row B")!.get("subs")!.magnitudeOnly).toBe(undefined);
});
