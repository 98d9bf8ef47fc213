import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { harmonicLevel, sweepTransferFunction } from "../../../lib/measurement/signals/distortion";
import { deconvolveSweep, exponentialSweep } from "../../../lib/measurement/signals/sweep";
import { convolve } from "../../../lib/measurement/spectra/convolve";
import { biquad, mix, uniform } from "../recordings";

const reference = JSON.parse(readFileSync(`${__dirname}/../reference/estimators.json`, "utf8"));
const rate = 48000;
const sweep = { from: 20, to: 20000, seconds: 4, sampleRate: rate };

/** Magnitude of a piece of impulse response at one frequency, by definition. */
function magnitude(impulse: Float64Array, frequency: number): number {
  let [re, im] = [0, 0];
  impulse.forEach((v, n) => {
    re += v * Math.cos((2 * Math.PI * frequency * n) / rate);
    im -= v * Math.sin((2 * Math.PI * frequency * n) / rate);
  });
  return Math.hypot(re, im);
}

const played = exponentialSweep(sweep);
const record = (distort: (x: Float64Array) => Float64Array) => {
  const long = new Float64Array(played.length + rate);
  long.set(played);
  return distort(long);
};

test("a sweep is scipy.signal.chirp's logarithmic one", () => {
  const ours = exponentialSweep({ from: 20, to: 20000, seconds: 1, sampleRate: rate, fade: 0.001 });
  reference.chirp.forEach((v: number, i: number) => {
    const n = i * 997;
    if (n > 100 && n < rate - 100) expect(ours[n]).toBeCloseTo(v, 7);
  });
});

test("convolution is scipy.signal.fftconvolve's", () => {
  const x = uniform(1, 60000);
  const y = mix(
    x,
    [
      { gain: 0.8, samples: 25 },
      { gain: -0.3, samples: 70 },
    ],
    { gain: 0.25, samples: uniform(2, 60000) },
  );
  const ours = convolve(x.slice(0, 300), y.slice(0, 1000));
  expect(ours.length).toBe(1299);
  reference.convolution.forEach((v: number, i: number) => {
    expect(ours[50 * i]).toBeCloseTo(v, 10);
  });
});

describe("deconvolution", () => {
  test("of the sweep itself is gain 1 at the right time, within 0.1 dB from 100 Hz to 15 kHz and 0.5 dB at 40 Hz, where the start of the sweep ripples", () => {
    const { impulse, origin, part } = deconvolveSweep(
      record((x) => x),
      sweep,
    );
    const highest = impulse.reduce((best, v, i) => (Math.abs(v) > Math.abs(impulse[best]) ? i : best), 0);
    expect(highest).toBe(origin);
    const error = (f: number) => Math.abs(20 * Math.log10(magnitude(part(1).samples, f)));
    for (const f of [100, 300, 1000, 5000, 15000]) expect(error(f)).toBeLessThan(0.1);
    expect(error(40)).toBeLessThan(0.5);
  });

  test("of a filter late by 10 ms gives both, as scipy.signal.freqz has the filter", () => {
    const late = deconvolveSweep(
      record((x) => mix(biquad(x, reference.biquad.b, reference.biquad.a), [{ gain: 1, samples: 480 }])),
      sweep,
    );
    const impulse = late.part(1, 0.2).samples;
    for (const i of [20, 30, 40, 50]) {
      const truth = Math.hypot(reference.biquad.re[i], reference.biquad.im[i]);
      expect(magnitude(impulse, reference.biquad.frequency[i])).toBeCloseTo(truth, 1);
      expect(Math.abs(magnitude(impulse, reference.biquad.frequency[i]) / truth - 1)).toBeLessThan(0.03);
    }
  });

  test("sets harmonics apart by T ln N / ln(f2 / f1): 0.401 s for the second, 0.636 s for the third in a 4 s sweep over three decades", () => {
    const { lead } = deconvolveSweep(
      record((x) => x),
      sweep,
    );
    expect(lead(1)).toBe(0);
    expect(lead(2)).toBeCloseTo(0.4014, 3);
    expect(lead(3)).toBeCloseTo(0.6362, 3);
  });

  test("tells the second harmonic of a square law and the third of a cubic one", () => {
    // x + 0.1 x²: (0.1 / 2) at twice the frequency. x + 0.08 x³: 0.08 / 4 at three times, and 1 + 3/4 · 0.08 at itself.
    const square = deconvolveSweep(
      record((x) => x.map((v) => v + 0.1 * v * v)),
      sweep,
    );
    for (const f of [400, 2000, 8000]) expect(magnitude(square.part(2, 0.1).samples, f)).toBeCloseTo(0.05, 2);
    for (const f of [400, 2000, 8000]) expect(magnitude(square.part(3, 0.1).samples, f)).toBeLessThan(0.003);
    const cubic = deconvolveSweep(
      record((x) => x.map((v) => v + 0.08 * v ** 3)),
      sweep,
    );
    for (const f of [400, 2000, 8000]) expect(magnitude(cubic.part(3, 0.1).samples, f)).toBeCloseTo(0.02, 2);
    for (const f of [400, 2000, 8000])
      expect(magnitude(cubic.part(3, 0.1).samples, f)).toBeGreaterThan(0.017);
    for (const f of [400, 2000, 8000]) expect(magnitude(cubic.part(1, 0.1).samples, f)).toBeCloseTo(1.06, 2);
  });

  test("gives harmonics in dB against the fundamental, and the linear response with its phase", () => {
    const played = Float64Array.of(200, 1000, 4000);
    const square = deconvolveSweep(
      record((x) => x.map((v) => v + 0.1 * v * v)),
      sweep,
    );
    // 0.05 : 1 is −26.02 dB, 0.02 : 1.06 is −34.49 dB.
    for (const level of harmonicLevel(square, played, 2)) expect(Math.abs(level + 26.02)).toBeLessThan(0.3);
    const cubic = deconvolveSweep(
      record((x) => x.map((v) => v + 0.08 * v ** 3)),
      sweep,
    );
    for (const level of harmonicLevel(cubic, played, 3)) expect(Math.abs(level + 34.49)).toBeLessThan(0.5);
    const late = deconvolveSweep(
      record((x) => mix(x, [{ gain: -0.5, samples: 6 }])),
      sweep,
    );
    const { re, im } = sweepTransferFunction(late, Float64Array.of(1000, 2000));
    // 6 samples of 48 are 45° at 1 kHz and 90° at 2 kHz; half, upside down.
    [-0.3536, 0].forEach((v, i) => {
      expect(re[i]).toBeCloseTo(v, 2);
    });
    [0.3536, 0.5].forEach((v, i) => {
      expect(im[i]).toBeCloseTo(v, 2);
    });
  });

  test("refuses a recording shorter than the sweep and limits that make no sense", () => {
    expect(() => deconvolveSweep(played.slice(0, 1000), sweep)).toThrow(/1000 samples and the sweep 192000/);
    expect(() => exponentialSweep({ ...sweep, to: 30000 })).toThrow(/below half the sample rate/);
  });
});
