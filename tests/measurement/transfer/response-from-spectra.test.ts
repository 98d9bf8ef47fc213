import { describe, expect, test } from "vitest";
import { responseFromSpectra, transferFunctions } from "../../../lib/measurement/transfer/transfer-function";
import { uniform } from "../recordings";

const list = (...values: number[]) => Float64Array.from(values);
describe("responses from spectra", () => {
  const spectra = {
    windowLength: 8,
    segments: 3,
    averages: 2.5,
    reference: list(9, 4, 4, 0, 4),
    microphones: [
      { power: list(9, 50, 50, 50, 0), crossRe: list(9, 6, 0, 1, 1), crossIm: list(9, 8, 0, 1, 1) },
    ],
  };
  test("are Sxy / Sxx or Syy / Syx, with coherence |Sxy|² / (Sxx Syy), and 0 where either is silent", () => {
    const h1 = responseFromSpectra(spectra, 0, 80);
    expect([...h1.frequency]).toEqual([10, 20, 30, 40]);
    expect([...h1.re]).toEqual([1.5, 0, 0, 0]);
    expect([...h1.im]).toEqual([2, 0, 0, 0]);
    expect([...h1.coherence!]).toEqual([0.5, 0, 0, 0]);
    expect([...h1.averages!]).toEqual([2.5, 2.5, 2.5, 2.5]);
    const h2 = responseFromSpectra(spectra, 0, 80, { estimator: "H2" });
    expect([h2.re[0], h2.im[0]]).toEqual([3, 4]);
    // 1/40 s left to take out turns 10 Hz forward by 90°.
    const turned = responseFromSpectra(spectra, 0, 80, { remainingDelay: 1 / 40 });
    expect(turned.re[0]).toBeCloseTo(-2, 12);
    expect(turned.im[0]).toBeCloseTo(1.5, 12);
  });

  test("need a window after the delay, and rates and delays that exist", () => {
    const x = uniform(1, 100);
    expect(transferFunctions(x, [x], 1000, { windowLength: 64 })[0].re[5]).toBeCloseTo(1, 9);
    expect(() => transferFunctions(x, [x], 1000, { windowLength: 128 })).toThrow(
      /100 samples \(0.10 s\).* window of 128/,
    );
    expect(() => transferFunctions(x, [x], 1000, { windowLength: 64, delays: [0.05] })).toThrow(
      /after its delay/,
    );
    expect(() => transferFunctions(x, [x], 1000, { windowLength: 64, delays: [99] })).toThrow(/delay is 99/);
    expect(() => transferFunctions(x, [x], 1, { windowLength: 64 })).toThrow(/sample rate is 1/);
    // The shortest decides; a third of a second, 333 samples, is next to 256 (2^8.4).
    const long = uniform(1, 600);
    const some = transferFunctions(long, [long.subarray(0, 520), long], 1000);
    expect(some.map((h) => h.re.length)).toEqual([128, 128]);
  });
});
