import { describe, expect, it } from "vitest";
import type { Response } from "../../lib/acoustics/response";
import { missingSquare } from "../../lib/estimate/missing-square";
import { strayOf } from "../../lib/estimate/stray";
import { normal } from "../../lib/numeric/random";

/** Independent frequencies, as far apart as neighbours tell nothing of one another. */
const frequency = Float64Array.from({ length: 50 }, (_, n) => 30 + 2.5 * n);
const places = [...Array(6).keys()];
/** Too far from one another to be of one spot. */
const points = places.map((i) => ({ x: 20 * i, y: 0, z: 1.2 }));
const missing = (model: readonly (readonly Response[])[], isRoom: boolean) =>
  model.map((own) => missingSquare(own, points, isRoom));

/** Complex normal numbers of mean square 1. */
function noise(random: () => number): Response {
  const part = () => frequency.map(() => random() / Math.SQRT2);
  return { frequency, re: part(), im: part() };
}

/** A part of one and the rest of another, so that their mean square stays. */
function mixed(own: Response, other: Response, share: (f: number) => number): Response {
  const part = (name: "re" | "im") =>
    frequency.map((f, n) => Math.sqrt(1 - share(f)) * own[name][n] + Math.sqrt(share(f)) * other[name][n]);
  return { frequency, re: part("re"), im: part("im") };
}

describe("how far a room strays from its drawing", () => {
  const random = normal(5);
  const model = [places.map(() => noise(random)), places.map(() => noise(random))];
  // What is thought beforehand: 0.225 at 40 Hz, in proportion to the frequency up to 130 Hz.
  const usual = (f: number) => (0.225 * Math.min(f, 130)) / 40;
  const heardWith = (factor: number) =>
    places.map((i) => {
      const [mains, subs] = model.map((own) =>
        mixed(own[i], noise(random), (f) => Math.min(0.95, factor * usual(f))),
      );
      return { mains, subs };
    });

  it.each([0.35, 0.7, 1])("is told from six microphones: %s times the usual", (factor) => {
    const found = strayOf(model, missing(model, true), heardWith(factor), places, true);
    expect(Math.abs(Math.log(found / factor))).toBeLessThan(Math.log(1.4));
  });

  it("is as little as can be said where they hear the model itself, and the most where they hear something else", () => {
    const same = places.map((i) => ({ mains: model[0][i], subs: model[1][i] }));
    const other = places.map(() => ({ mains: noise(random), subs: noise(random) }));
    expect(strayOf(model, missing(model, true), same, places, true)).toBe(0.25);
    expect(strayOf(model, missing(model, true), other, places, true)).toBeGreaterThan(1.9);
  });

  it("is more than usual in the open where as much is missing as in a room", () => {
    const heard = heardWith(0.7);
    expect(strayOf(model, missing(model, false), heard, places, false)).toBeGreaterThan(
      strayOf(model, missing(model, true), heard, places, true),
    );
  });
});
