import { describe, expect, test } from "vitest";
import { interpolateResponse } from "../../../lib/measurement/transfer/interpolate";
import { list, of } from "./few-samples";

describe("a response between its points", () => {
  test("that runs straight over log frequency stays so, to the ends and through them", () => {
    const frequency = [100, 110, 125, 130, 160];
    const line = (f: number) => 2 + Math.log2(f / 100);
    const source = of(
      frequency,
      frequency.map(line),
      frequency.map((f) => -line(f)),
    );
    const wanted = list(100, 105, 112, 125, 128, 150, 160);
    const found = interpolateResponse(source, wanted, { delay: 0 });
    wanted.forEach((f, i) => {
      expect(found.re[i]).toBeCloseTo(line(f), 12);
      expect(found.im[i]).toBeCloseTo(-line(f), 12);
    });
    expect([found.bulkDelay, found.coarseFraction, found.coherence]).toEqual([0, 0, undefined]);
  });

  test("is a parabola through three points where there are three", () => {
    const bow = (f: number) => Math.log2(f / 100) ** 2 + 1;
    const source = of([100, 120, 150], [100, 120, 150].map(bow));
    const found = interpolateResponse(source, list(105, 119, 140), { delay: 0 });
    [105, 119, 140].forEach((f, i) => {
      expect(found.re[i]).toBeCloseTo(bow(f), 12);
    });
  });

  test("may step by 0.4 octaves and turn by 60°, or by what is said, and not by more", () => {
    const step = (octaves: number, degrees: number) => {
      const turn = (degrees * Math.PI) / 180;
      return of([100, 100 * 2 ** octaves], [1, Math.cos(turn)], [0, Math.sin(turn)]);
    };
    const wanted = list(101);
    const at =
      (octaves: number, degrees: number, options = {}) =>
      () =>
        interpolateResponse(step(octaves, degrees), wanted, { delay: 0, ...options });
    expect(at(0.399, 59.9)().re.length).toBe(1);
    expect(at(0.401, 0)).toThrow(/a step of 0.40 octaves/);
    expect(at(0.2, 60.1)).toThrow(/turns by 60°/);
    expect(at(0.2, -60.1)).toThrow(/turns by 60°/);
    expect(at(0.2, 90, { maximumTurn: 91 })().coarseFraction).toBe(0);
    expect(at(1, 0, { maximumStep: 1 })().coarseFraction).toBe(0);
    const doubt = at(1, 0, { tooCoarse: "doubt" })();
    expect([doubt.coarseFraction, doubt.coherence![0]]).toEqual([1, 0]);
    // On a measured point nothing is guessed.
    expect(interpolateResponse(step(1, 90), list(100, 200), { delay: 0 }).im[1]).toBeCloseTo(1, 12);
    expect(() => interpolateResponse(of([100], [1]), wanted)).toThrow(/has 1 frequencies/);
    for (const twice of [
      [100, 100],
      [110, 105],
    ])
      expect(() => interpolateResponse(step(0.3, 0), list(...twice), { delay: 0 })).toThrow(
        /frequency\[1\] is/,
      );
  });

  test("without phase steps over any turn, and keeps coherence, averages and what has no phase in a straight line", () => {
    const source = of([100, 121], [1, 3], [0, 0], {
      magnitudeOnly: true,
      coherence: list(0.2, 0.4),
      averages: list(4, 8),
      diffuse: list(0, 2),
    });
    const found = interpolateResponse(source, list(100, 110, 121), { tooCoarse: "doubt" });
    [1, 2, 3].forEach((v, i) => {
      expect(found.re[i]).toBeCloseTo(v, 12);
    });
    expect([...found.im, found.bulkDelay]).toEqual([0, 0, 0, 0]);
    expect(found.coherence![1]).toBeCloseTo(0.3, 12);
    expect(found.averages![1]).toBeCloseTo(6, 12);
    expect(found.diffuse![1]).toBeCloseTo(1, 12);
  });
});
