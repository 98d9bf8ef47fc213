import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { averageSpectra } from "../../../lib/measurement/spectra/averaged";
import { effectiveAverages, timeWindow, type WindowShape } from "../../../lib/measurement/spectra/windows";
import { transferFunction, transferFunctions } from "../../../lib/measurement/transfer/transfer-function";
import { whiteNoise } from "../noise";
import { delayed, mix, trials, uniform, withNoise } from "../recordings";

const reference = JSON.parse(readFileSync(`${__dirname}/../reference/estimators.json`, "utf8"));
const rate = 48000;

describe("against scipy.signal (csd, welch, coherence) on the same recording", () => {
  const x = uniform(1, 60000);
  const y = mix(
    x,
    [
      { gain: 0.8, samples: 25 },
      { gain: -0.3, samples: 70 },
    ],
    { gain: 0.25, samples: uniform(2, 60000) },
  );
  for (const row of reference.spectra) {
    const { window, windowLength, overlap } = row;
    test(`H1, H2 and coherence are scipy's with a ${window} window of ${windowLength} and ${overlap} overlap`, () => {
      const options = { window, windowLength, overlap };
      const h1 = transferFunction(x, y, rate, options);
      const h2 = transferFunction(x, y, rate, { ...options, estimator: "H2" });
      let worst = 0;
      row.frequency.forEach((f: number, i: number) => {
        const k = h1.frequency.findIndex((g) => Math.abs(g - f) < 1e-6);
        const size = Math.hypot(row.h1_re[i], row.h1_im[i]);
        worst = Math.max(
          worst,
          Math.hypot(h1.re[k] - row.h1_re[i], h1.im[k] - row.h1_im[i]) / size,
          Math.hypot(h2.re[k] - row.h2_re[i], h2.im[k] - row.h2_im[i]) /
            Math.hypot(row.h2_re[i], row.h2_im[i]),
          Math.abs(h1.coherence![k] - row.coherence[i]),
        );
      });
      // Both sum in double precision; the reference is printed with 12 digits.
      expect(worst).toBeLessThan(1e-10);
    });
  }

  test("windows are scipy's periodic ones", () => {
    for (const [shape, values] of Object.entries<number[]>(reference.windows)) {
      const ours = timeWindow(shape as WindowShape, 16);
      values.forEach((v, i) => {
        expect(ours[i]).toBeCloseTo(v, 8);
      });
    }
  });
});

describe("several microphones at once", () => {
  const x = whiteNoise(40000, 1);
  const signals = [25, 300, 0].map((d, i) => withNoise(delayed(x, d), whiteNoise(40000, 10 + i), 10));
  test("give each the same response as alone, whatever their number and delays", () => {
    for (const count of [1, 2, 3]) {
      const delays = [25 / rate, 300.3 / rate, 7 / rate].slice(0, count);
      const all = transferFunctions(x, signals.slice(0, count), rate, { windowLength: 2048, delays });
      const latest = Math.max(...delays.map((d) => Math.round(d * rate)));
      delays.forEach((delay, i) => {
        // The latest channel decides how many segments there are: the lone one gets as many.
        const end = 40000 - latest + Math.round(delay * rate);
        const lone = transferFunction(x, signals[i].subarray(0, end), rate, { windowLength: 2048, delay });
        expect(all[i].averages![0]).toBe(lone.averages![0]);
        lone.re.forEach((v, k) => {
          expect(all[i].re[k]).toBeCloseTo(v, 10);
        });
      });
    }
  });

  test("a microphone that leads the reference is aligned as well", () => {
    const h = transferFunction(delayed(x, 40), x, rate, { windowLength: 1024, delay: -40 / rate });
    h.re.forEach((v, k) => {
      expect(v).toBeCloseTo(1, 9);
      expect(h.im[k]).toBeCloseTo(0, 9);
    });
  });

  test("fed in blocks of any length give what the whole gives", () => {
    const whole = averageSpectra(3, { windowLength: 1024 });
    whole.feed(x, signals);
    const pieces = averageSpectra(3, { windowLength: 1024 });
    for (let from = 0, n = 1; from < x.length; from += n, n = (n * 7) % 5003) {
      pieces.feed(
        x.subarray(from, from + n),
        signals.map((s) => s.subarray(from, from + n)),
      );
    }
    const [a, b] = [whole.result(), pieces.result()];
    expect(b.segments).toBe(a.segments);
    a.microphones.forEach((m, i) => {
      m.crossRe.forEach((v, k) => {
        expect(b.microphones[i].crossRe[k]).toBeCloseTo(v, 6);
      });
    });
  });
});

describe("a known system", () => {
  const x = whiteNoise(200_000, 3);
  test("a delay taken out leaves gain 1 and no phase, to the fraction of a sample", () => {
    const h = transferFunction(x, delayed(x, 480), rate, { windowLength: 4096, delay: 480.25 / rate });
    h.frequency.forEach((f, k) => {
      // A quarter sample too much taken out turns the phase forward by 2π f · 0.25 / rate.
      const angle = (2 * Math.PI * f * 0.25) / rate;
      expect(h.re[k]).toBeCloseTo(Math.cos(angle), 6);
      expect(h.im[k]).toBeCloseTo(Math.sin(angle), 6);
    });
  });

  test("a comb shows its notches at odd multiples of 1 / (2 delay) and its peaks between", () => {
    const h = transferFunction(
      x,
      mix(x, [
        { gain: 1, samples: 0 },
        { gain: 0.5, samples: 48 },
      ]),
      rate,
      { windowLength: 16384 },
    );
    const levelAt = (f: number) => {
      const k = h.frequency.findIndex((g) => g >= f - 1e-6);
      return 10 * Math.log10(h.re[k] ** 2 + h.im[k] ** 2);
    };
    // 1 ms: peaks of 20 lg 1.5 = 3.52 dB at 1, 2 kHz, notches of 20 lg 0.5 = −6.02 dB at 0.5, 1.5 kHz.
    for (const f of [1000, 2000, 9000]) expect(levelAt(f)).toBeCloseTo(3.52, 1);
    for (const f of [500, 1500, 8500]) expect(levelAt(f)).toBeCloseTo(-6.02, 1);
  });

  test("a late signal reads low by the share of the window it misses unless its delay is taken out", () => {
    const late = delayed(x, 1024);
    const mean = (h: { re: Float64Array; im: Float64Array }) =>
      h.re.reduce((s, re, k) => s + Math.hypot(re, h.im[k]), 0) / h.re.length;
    const without = mean(
      transferFunction(x, late, rate, { windowLength: 4096, window: "rectangular", overlap: 0 }),
    );
    // Rectangular window: the common part of both windows is 3/4.
    expect(without).toBeGreaterThan(0.7);
    expect(without).toBeLessThan(0.8);
    expect(mean(transferFunction(x, late, rate, { windowLength: 4096, delay: 1024 / rate }))).toBeCloseTo(
      1,
      6,
    );
  });
});

describe("coherence", () => {
  test.each([20, 6, 0, -6])("of a signal %d dB above its noise is SNR / (1 + SNR)", (ratio) => {
    const x = whiteNoise(400_000, 5);
    const { coherence, averages } = transferFunction(x, withNoise(x, whiteNoise(400_000, 6), ratio), rate, {
      windowLength: 1024,
    });
    const mean = coherence!.reduce((a, b) => a + b, 0) / coherence!.length;
    const snr = 10 ** (ratio / 10);
    const truth = snr / (1 + snr);
    // Bias (1 − γ²)² / n (Bendat and Piersol); the mean over 512 bins is a few times more exact than one bin.
    expect(Math.abs(mean - truth - (1 - truth) ** 2 / averages![0])).toBeLessThan(0.004);
  });

  test("of unrelated signals is about 1 / averages", () => {
    const h = transferFunction(whiteNoise(100_000, 7), whiteNoise(100_000, 8), rate, { windowLength: 1024 });
    const mean = h.coherence!.reduce((a, b) => a + b, 0) / h.coherence!.length;
    expect(mean * h.averages![0]).toBeGreaterThan(0.85);
    expect(mean * h.averages![0]).toBeLessThan(1.15);
  });
});

describe("effective number of averages", () => {
  test("follows the overlap correlation of the Hann window, 0.659 at 75 % and 0.167 at 50 % (Harris 1978, table I)", () => {
    const hann = timeWindow("hann", 4096);
    const many = 10_000;
    expect(effectiveAverages(many, hann, 4096)).toBe(many);
    expect(many / effectiveAverages(many, hann, 2048)).toBeCloseTo(1 + 2 * 0.167 ** 2, 3);
    expect(many / effectiveAverages(many, hann, 1024)).toBeCloseTo(
      1 + 2 * (0.659 ** 2 + 0.167 ** 2 + 0.0075 ** 2),
      2,
    );
  });

  test.each([0, 0.5, 0.75])("is what the scatter of noise spectra shows at overlap %d", (overlap) => {
    const repeats = Math.max(100, Math.min(400, trials(100)));
    const sums: number[][] = [];
    let averages = 0;
    for (let trial = 0; trial < repeats; trial++) {
      const average = averageSpectra(1, { windowLength: 256, overlap });
      const x = whiteNoise(4096, 1000 + trial);
      average.feed(x, [x]);
      const spectra = average.result();
      average.close();
      averages = spectra.averages;
      sums.push([...spectra.reference.subarray(4, 124)].map((v) => v / spectra.segments));
    }
    let ratio = 0;
    for (let k = 0; k < 120; k++) {
      const values = sums.map((s) => s[k]);
      const mean = values.reduce((a, b) => a + b, 0) / repeats;
      ratio += values.reduce((a, b) => a + (b - mean) ** 2, 0) / (repeats - 1) / mean ** 2 / 120;
    }
    // Variance of a mean of n independent chi-square spectra is mean² / n.
    expect(ratio * averages).toBeGreaterThan(0.93);
    expect(ratio * averages).toBeLessThan(1.07);
  });
});

describe("what can't be computed is said in words", () => {
  const x = whiteNoise(20000, 1);
  test("a recording shorter than one window", () => {
    expect(() => transferFunction(x.subarray(0, 1000), x, rate)).toThrow(
      /1000 samples.*less than one window of 16384/,
    );
  });
  test("a window length that is no power of two", () => {
    expect(() => transferFunction(x, x, rate, { windowLength: 1000 })).toThrow(
      /1000, expected a power of two/,
    );
  });
  test("an overlap of 1", () => {
    expect(() => transferFunction(x, x, rate, { windowLength: 1024, overlap: 1 })).toThrow(/overlap is 1/);
  });
  test("a sample that is no number, by its channel", () => {
    const bad = x.slice();
    bad[777] = Number.NaN;
    expect(() => transferFunctions(x, [x, bad], rate)).toThrow(/microphone channel 2, sample 777 .* is NaN/);
  });
  test("a silent reference gives 0 with coherence 0, never NaN", () => {
    const h = transferFunction(new Float64Array(20000), x, rate, { windowLength: 1024 });
    for (const v of [...h.re, ...h.im, ...h.coherence!]) expect(v).toBe(0);
  });
});

/** Channels that share a transform leave each other some −300 dB: at a bin where one is almost nothing, that shows. */
describe("laws for any signals", () => {
  const some = fc.record({
    length: fc.integer({ min: 600, max: 6000 }),
    seed: fc.integer({ min: 1, max: 1e6 }),
    gain: fc.double({ min: 0.01, max: 100, noNaN: true }),
    delay: fc.integer({ min: -80, max: 80 }),
  });
  test("coherence lies within 0 and 1, |H1| within |H2|, and a gain multiplies the response", () => {
    fc.assert(
      fc.property(some, ({ length, seed, gain, delay }) => {
        const [x, y] = [
          whiteNoise(length, seed),
          withNoise(whiteNoise(length, seed), whiteNoise(length, seed + 1), 3),
        ];
        const options = { windowLength: 512, delay: delay / rate };
        const h1 = transferFunction(x, y, rate, options);
        const h2 = transferFunction(x, y, rate, { ...options, estimator: "H2" });
        const louder = transferFunction(
          x,
          y.map((v) => gain * v),
          rate,
          options,
        );
        h1.re.forEach((re, k) => {
          const size = Math.hypot(re, h1.im[k]);
          expect(h1.coherence![k]).toBeGreaterThanOrEqual(0);
          expect(h1.coherence![k]).toBeLessThanOrEqual(1);
          expect(size).toBeLessThanOrEqual(Math.hypot(h2.re[k], h2.im[k]) * (1 + 1e-9));
          expect(Math.abs(louder.re[k] / gain - re)).toBeLessThan(1e-6 * Math.max(1, size));
        });
      }),
      { numRuns: 30 },
    );
  });
});
