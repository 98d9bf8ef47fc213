import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { levelInBand, power, type Response, sumResponses } from "../../lib/acoustics/response";
import { evenly } from "../evenly";

const frequency = Float64Array.of(40, 80, 160);
const value = evenly(-5, 5);
const three = fc.tuple(value, value, value).map((x) => Float64Array.of(...x));
const response: fc.Arbitrary<Response> = fc
  .record({ re: three, im: three, diffuse: fc.option(three, { nil: undefined }) })
  .map(({ re, im, diffuse }) =>
    diffuse ? { frequency, re, im, diffuse: diffuse.map(Math.abs) } : { frequency, re, im },
  );
const gain = fc.oneof(fc.record({ re: value, im: value }), fc.record({ re: three, im: three }));

/** A response that stands all alone: what is not given is 0. */
const of = (parts: Partial<Response>): Response => ({
  frequency,
  re: new Float64Array(3),
  im: new Float64Array(3),
  ...parts,
});
const at = (x: number | Float64Array, i: number) => (typeof x === "number" ? x : x[i]);

function expectClose(a: ArrayLike<number>, b: ArrayLike<number>): void {
  expect(a.length).toBe(b.length);
  for (let i = 0; i < a.length; i++) expect(a[i]).toBeCloseTo(b[i], 9);
}

describe("the power of a response", () => {
  it("is the square of its size, by Pythagoras, with the diffuse part on top", () => {
    const re = Float64Array.of(3, -5, 0);
    const im = Float64Array.of(4, 12, 2);
    expectClose(power(of({ re, im })), [25, 169, 4]);
    expectClose(power(of({ re, im, diffuse: Float64Array.of(1, 0, 6) })), [26, 169, 10]);
  });

  it("tells the level of a band, re 20 µPa where nothing else is said", () => {
    // A mean square of 9 Pa² everywhere: 10 lg 9, or 20 lg(3/20e-6) = 103.52 dB.
    const flat = of({ re: new Float64Array(3).fill(3) });
    expect(levelInBand(flat, 50, 100, 1)).toBeCloseTo(9.5424, 4);
    expect(levelInBand(flat, 50, 100)).toBeCloseTo(103.5218, 4);
  });
});

describe("the sum of two responses", () => {
  it("of equal ones is 6.02 dB more in phase, nothing in opposition, 3.01 dB more at a right angle or diffuse", () => {
    const one = of({ re: Float64Array.of(1, 0, 0.6), im: Float64Array.of(0, 1, -0.8) });
    expectClose(power(sumResponses(one, one)), [4, 4, 4]);
    expectClose(power(sumResponses(one, one, { re: -1, im: 0 })), [0, 0, 0]);
    expectClose(power(sumResponses(one, one, { re: 0, im: 1 })), [2, 2, 2]);
    const room = of({ diffuse: Float64Array.of(1, 2, 3) });
    expectClose(power(sumResponses(room, room)), [2, 4, 6]);
    expectClose(power(sumResponses(room, room, { re: 0, im: -2 })), [5, 10, 15]);
  });

  it("turns by the gain's angle: a quarter turn forward makes of a real part an imaginary one", () => {
    const quarter = { re: 0, im: 1 };
    const { re, im } = sumResponses(of({}), of({ re: Float64Array.of(1, 2, 3) }), quarter);
    expectClose(re, [0, 0, 0]);
    expectClose(im, [1, 2, 3]);
    expectClose(sumResponses(of({}), of({ im: Float64Array.of(1, 2, 3) }), quarter).re, [-1, -2, -3]);
  });

  it("has of either one, with the other silent, that one's power times the gain's square", () => {
    fc.assert(
      fc.property(response, gain, (r, g) => {
        expectClose(power(sumResponses(r, of({}), g)), power(r));
        const scaled = power(r).map((x, i) => x * (at(g.re, i) ** 2 + at(g.im, i) ** 2));
        expectClose(power(sumResponses(of({}), r, g)), scaled);
      }),
    );
  });

  it("and the difference have together twice the power of both: the parallelogram's law", () => {
    fc.assert(
      fc.property(response, response, gain, (a, b, g) => {
        const minus = {
          re: typeof g.re === "number" ? -g.re : g.re.map((x) => -x),
          im: typeof g.im === "number" ? -g.im : g.im.map((x) => -x),
        };
        const [sum, difference] = [power(sumResponses(a, b, g)), power(sumResponses(a, b, minus))];
        const own = power(a);
        const other = power(sumResponses(of({}), b, g));
        expectClose(
          sum.map((x, i) => x + difference[i]),
          own.map((x, i) => 2 * (x + other[i])),
        );
      }),
    );
  });

  it("has a diffuse part only where one of them has, and stands on their frequencies", () => {
    const plain = of({});
    const room = of({ diffuse: Float64Array.of(1, 1, 1) });
    expect(sumResponses(plain, plain).diffuse).toBeUndefined();
    expect(sumResponses(plain, plain).frequency).toBe(frequency);
    expect(sumResponses(plain, room).diffuse).toEqual(room.diffuse);
    expect(sumResponses(room, plain).diffuse).toEqual(room.diffuse);
    expect(sumResponses(room, plain).frequency).toBe(frequency);
  });

  it("of responses on different frequencies, or without phase, is refused", () => {
    const plain = of({});
    expect(sumResponses(plain, of({ frequency: frequency.slice() })).re).toEqual(plain.re);
    const others = [Float64Array.of(40, 80, 161), Float64Array.of(40, 80), Float64Array.of(40, 80, 160, 320)];
    for (const other of others)
      expect(() => sumResponses(plain, of({ frequency: other }))).toThrow("different frequencies");
    const magnitude = of({ magnitudeOnly: true });
    expect(() => sumResponses(plain, magnitude)).toThrow("without phase");
    expect(() => sumResponses(magnitude, plain)).toThrow("without phase");
  });
});
