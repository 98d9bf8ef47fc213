import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { power, type Response } from "../../../lib/acoustics/response";
import { averageResponses } from "../../../lib/measurement/transfer/average";
import { coherentPart } from "../../../lib/measurement/transfer/coherence-limit";
import { transferFunction } from "../../../lib/measurement/transfer/transfer-function";
import { evenly } from "../../evenly";
import { averages as table } from "../reference/averages.json";
import { seeded } from "../seeded";

const frequency = Float64Array.of(50, 100, 200, 400);
const responses: Response[] = table.responses.map(({ re, im }, r) => ({
  frequency,
  re: Float64Array.from(re),
  im: Float64Array.from(im),
  coherence: Float64Array.from(table.coherence[r]),
}));
const { weights } = table;

function one(re: number, im = 0, more: Partial<Response> = {}): Response {
  return { frequency: Float64Array.of(100), re: Float64Array.of(re), im: Float64Array.of(im), ...more };
}

describe("averageResponses", () => {
  it("agrees with numpy in all four kinds", () => {
    const mean = averageResponses(responses, "power", { weights });
    for (const [i, x] of table.power.entries()) expect(mean.re[i]).toBeCloseTo(x, 12);
    expect(mean.magnitudeOnly).toBe(true);

    const complex = averageResponses(responses, "complex", { weights });
    for (const [i, x] of table.complex.re.entries()) expect(complex.re[i]).toBeCloseTo(x, 11);
    for (const [i, x] of table.complex.im.entries()) expect(complex.im[i]).toBeCloseTo(x, 11);
    expect(complex.magnitudeOnly).toBeUndefined();

    const decibel = averageResponses(responses, "decibel", { weights });
    for (const [i, x] of table.decibel.entries()) expect(20 * Math.log10(decibel.re[i])).toBeCloseTo(x, 10);

    const coherence = averageResponses(responses, "coherence", { weights });
    for (const [i, x] of table.coherenceWeighted.entries()) expect(coherence.re[i]).toBeCloseTo(x, 12);
  });

  it("leaves out data below the coherence limit, as numpy's masked average, and tells how many count", () => {
    const mean = averageResponses(responses, "power", { weights, coherenceLimit: table.limit });
    for (const [i, x] of table.powerAboveLimit.entries()) expect(mean.re[i]).toBeCloseTo(x, 12);
    const counting = [0, 1, 2, 3].map(
      (i) => table.coherence.filter((row, r) => row[i] >= table.limit && weights[r] > 0).length,
    );
    expect(Array.from(mean.contributors)).toEqual(counting);
  });

  it("keeps energy by power and cancels opposites by complex values", () => {
    // Two places of equal level and opposite phase: the same energy at each, nothing in common.
    const opposite = [one(1), one(-1)];
    expect(averageResponses(opposite, "power").re[0]).toBeCloseTo(1, 12);
    expect(averageResponses(opposite, "complex").re[0]).toBe(0);
    // 90 and 100 dB: 97.4 dB by power (ten times and once the energy, 5.5 on average), 95 dB by level.
    const ten = [one(1), one(Math.sqrt(10))];
    expect(20 * Math.log10(averageResponses(ten, "power").re[0])).toBeCloseTo(7.404, 3);
    expect(20 * Math.log10(averageResponses(ten, "decibel").re[0])).toBeCloseTo(5, 9);
  });

  it("never lets the mean of levels exceed the level of the mean, nor the complex average that of power", () => {
    const value = evenly(-10, 10);
    fc.assert(
      fc.property(fc.array(fc.tuple(value, value), { minLength: 1, maxLength: 9 }), (values) => {
        const many = values.map(([re, im]) => one(re, im));
        const mean = averageResponses(many, "power").re[0];
        expect(averageResponses(many, "decibel").re[0]).toBeLessThanOrEqual(mean * (1 + 1e-9));
        expect(Math.sqrt(power(averageResponses(many, "complex"))[0])).toBeLessThanOrEqual(mean * (1 + 1e-9));
      }),
      { seed: 6 },
    );
  });

  it("counts sound without phase by its power: in full among powers, shared out among complex values", () => {
    const diffuse = Float64Array.of(4);
    const two = [one(0, 0, { diffuse }), one(0, 0, { diffuse })];
    expect(averageResponses(two, "power").re[0]).toBeCloseTo(2, 12);
    expect(averageResponses(two, "complex").diffuse![0]).toBeCloseTo(2, 12);
  });

  it("where no place has the coherence gives the average of all with coherence 0", () => {
    const two = [
      one(1, 0, { coherence: Float64Array.of(0.2) }),
      one(3, 0, { coherence: Float64Array.of(0.1) }),
    ];
    const mean = averageResponses(two, "power", { coherenceLimit: 0.5 });
    expect(mean.contributors[0]).toBe(0);
    expect(mean.coherence![0]).toBe(0);
    expect(mean.re[0]).toBeCloseTo(Math.sqrt(5), 12);
    const none = [one(1, 0, { coherence: Float64Array.of(0) })];
    expect(averageResponses(none, "coherence").re[0]).toBe(1);
  });

  it("refuses what it can't average, and names the response", () => {
    const levels = one(1, 0, { magnitudeOnly: true });
    expect(() => averageResponses([], "power")).toThrow(/responses is empty/);
    expect(() => averageResponses([one(1), levels], "complex")).toThrow(/responses\[1\] has no phase/);
    expect(() => averageResponses([one(1)], "coherence")).toThrow(/responses\[0\] has no coherence/);
    expect(() => averageResponses([one(1)], "power", { weights: [0] })).toThrow(/one above 0/);
    expect(() => averageResponses([one(1)], "power", { weights: [1, 1] })).toThrow(/weights has 2 entries/);
    expect(() => averageResponses([one(1), responses[0]], "power")).toThrow(/responses\[1\] stands on other/);
    expect(() => averageResponses([one(1)], "power", { coherenceLimit: 2 })).toThrow(/limit is 2/);
  });
});

describe("coherentPart", () => {
  it("gives the stretches below the limit", () => {
    const octaves = Float64Array.of(50, 100, 200, 400, 800, 1600);
    const zeros = new Float64Array(6);
    const coherence = Float64Array.of(0.9, 0.5, 0.49, 0.1, 0.8, 1);
    const part = coherentPart({ frequency: octaves, re: zeros, im: zeros, coherence }, 0.5);
    expect(Array.from(part.usable)).toEqual([1, 1, 0, 0, 1, 1]);
    expect(part.leftOut).toEqual([{ from: 200, to: 400 }]);
  });

  it("takes a response without coherence as usable throughout", () => {
    expect(coherentPart(one(1), 0.9)).toEqual({ usable: Uint8Array.of(1), leftOut: [] });
  });

  it("holds few averages against chance: of unrelated signals one in twenty is let through, whatever the limit says", () => {
    const windowLength = 64;
    for (const segments of [3, 8]) {
      let fraction = 0;
      const trials = 60;
      for (let seed = 1; seed <= trials; seed++) {
        const random = seeded(seed);
        const noise = () => Float64Array.from({ length: segments * windowLength }, () => random.normal());
        const response = transferFunction(noise(), noise(), 48000, {
          windowLength,
          overlap: 0,
          window: "rectangular",
        });
        // The last frequency is half the sample rate, where a transform is real and the distribution another.
        const { usable } = coherentPart(response, 0.05);
        fraction += usable.subarray(0, 31).reduce((a, b) => a + b, 0) / 31 / trials;
      }
      // 1860 draws leave 0.5 % of chance.
      expect(fraction).toBeGreaterThan(0.035);
      expect(fraction).toBeLessThan(0.065);
    }
  });
});
