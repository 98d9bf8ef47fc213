import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { clockDrift, correctDrift } from "../../../lib/measurement/delay/drift";
import { resample } from "../../../lib/measurement/signals/resample";
import { fourierTransform } from "../../../lib/measurement/spectra/fft";
import { transferFunction } from "../../../lib/measurement/transfer/transfer-function";
import { whiteNoise } from "../noise";
import { biquad, uniform, withNoise } from "../recordings";

const reference = JSON.parse(readFileSync(`${__dirname}/../reference/estimators.json`, "utf8"));
const rate = 16000;
const length = 20 * rate;

/** What a device whose clock runs fast records: the signal read between its samples, from an eightfold finer one. */
function recordedBy(x: Float64Array, ppm: number, delay: number): Float64Array {
  const size = 2 ** 19;
  const times = 8;
  const small = fourierTransform(size);
  small.re.fill(0);
  small.im.fill(0);
  small.re.set(x);
  small.forward();
  const fine = fourierTransform(size * times);
  fine.re.fill(0);
  fine.im.fill(0);
  for (let k = 0; k < 0.4 * size; k++) {
    fine.re[k] = times * small.re[k];
    fine.im[k] = times * small.im[k];
    if (k > 0) {
      fine.re[size * times - k] = fine.re[k];
      fine.im[size * times - k] = -fine.im[k];
    }
  }
  fine.inverse();
  const at = (t: number) => {
    const i = Math.floor(t);
    const u = t - i;
    const [a, b, c, d] = [-1, 0, 1, 2].map((j) => fine.re[i + j] ?? 0);
    // Cubic through four points of the finer signal.
    return b + (u * (c - a + u * (2 * a - 5 * b + 4 * c - d + u * (3 * (b - c) + d - a)))) / 2;
  };
  return x.map((_, n) => at(times * (n / (1 + ppm * 1e-6) - delay)));
}

describe("clock drift", () => {
  const x = whiteNoise(length, 1);
  const noise = whiteNoise(length, 2);
  test.each([0, 3, -25, 80, -200])("of %d ppm is found within its stated uncertainty, in noise", (ppm) => {
    const found = clockDrift(x, withNoise(recordedBy(x, ppm, 100), noise, 10), rate);
    expect(Math.abs(found.ppm - ppm)).toBeLessThan(Math.max(0.25, found.uncertainty));
    expect(found.uncertainty).toBeLessThan(1);
    // 3 ppm moves the delay by less than a sample in 20 s: no cause for a correction.
    expect(found.significant).toBe(Math.abs(ppm) > 4);
    expect(found.delay * rate).toBeCloseTo(100, 0);
  });

  test("left in, takes the coherence of the highs; corrected, gives it back", () => {
    const y = recordedBy(x, 80, 0);
    const highs = (signal: Float64Array) => {
      const { coherence, frequency } = transferFunction(x, signal, rate, { windowLength: 2048 });
      const band = [...coherence!].filter((_, k) => frequency[k] > 4000 && frequency[k] < 6000);
      return band.reduce((a, b) => a + b, 0) / band.length;
    };
    expect(highs(y)).toBeLessThan(0.5);
    expect(highs(correctDrift(y, clockDrift(x, y, rate).ppm))).toBeGreaterThan(0.99);
  });

  test("can't be told from a few seconds", () => {
    expect(() => clockDrift(x.subarray(0, 6 * rate), x.subarray(0, 6 * rate), rate)).toThrow(
      /expected 4 or more/,
    );
  });
});

test("resampling is scipy.signal.resample_poly's within −80 dB", () => {
  // A windowed sinc low pass of 63 points, as scipy.signal.firwin(63, 0.5) makes it, would be another computation of
  // ours: noise smoothed by its values from the reference keeps the two apart.
  const x = uniform(1, 60000).slice(0, 20000);
  const taps: number[] = reference.lowpass;
  const smooth = x.map((_, n) => taps.reduce((sum, h, j) => sum + (n >= j ? h * x[n - j] : 0), 0));
  const faster = resample(smooth, 1.001);
  reference.resampled.forEach((v: number, i: number) => {
    expect(Math.abs(faster[2000 + 499 * i] - v)).toBeLessThan(1e-4);
  });
});

test("a biquad's output resampled by ratio 1 is itself", () => {
  const y = biquad(uniform(3, 1000), reference.biquad.b, reference.biquad.a);
  resample(y, 1).forEach((v, n) => {
    expect(v).toBeCloseTo(y[n], 12);
  });
});
