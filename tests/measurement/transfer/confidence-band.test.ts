import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { estimateDelay } from "../../../lib/measurement/delay/delay";
import { confidenceBand } from "../../../lib/measurement/transfer/confidence-band";
import { joinedTransferFunctions } from "../../../lib/measurement/transfer/joined";
import { transferFunction } from "../../../lib/measurement/transfer/transfer-function";
import { readWav } from "../../../lib/measurement/wav/read";
import { whiteNoise } from "../noise";
import { biquad, mix, trials, withNoise } from "../recordings";
import { seeded } from "../seeded";

const reference = JSON.parse(readFileSync(`${__dirname}/../reference/estimators.json`, "utf8"));
const rate = 48000;
type Complex = { re: number; im: number };

/** e^{-jωτ} by definition; the biquad's truth is scipy.signal.freqz's. */
const turn = (f: number, samples: number, gain = 1): Complex => ({
  re: gain * Math.cos((2 * Math.PI * f * samples) / rate),
  im: -gain * Math.sin((2 * Math.PI * f * samples) / rate),
});

const systems: {
  name: string;
  apply: (x: Float64Array) => Float64Array;
  truth: (i: number) => { f: number; h: Complex };
}[] = [
  {
    name: "a pure delay",
    apply: (x) => mix(x, [{ gain: 0.7, samples: 3 }]),
    truth: (i) => ({ f: 937.5 * (i + 1), h: turn(937.5 * (i + 1), 3, 0.7) }),
  },
  {
    name: "a comb",
    apply: (x) =>
      mix(x, [
        { gain: 1, samples: 0 },
        { gain: 0.6, samples: 16 },
      ]),
    truth: (i) => {
      const f = 937.5 * (i + 1);
      const late = turn(f, 16, 0.6);
      return { f, h: { re: 1 + late.re, im: late.im } };
    },
  },
  {
    name: "a peak filter",
    apply: (x) => biquad(x, reference.biquad.b, reference.biquad.a),
    // Above 3 kHz: where the resonance is narrower than a bin, a window of any kind is biased, and the band does not say so.
    truth: (i) => ({
      f: reference.biquad.frequency[43 + i],
      h: { re: reference.biquad.re[43 + i], im: reference.biquad.im[43 + i] },
    }),
  },
];

/** Shares of trials and frequencies in which the band of 95 % holds the truth. */
function coverage(system: (typeof systems)[number], count: number, points: number, segments: number) {
  const random = seeded(segments);
  const windowLength = 1024;
  let level = 0;
  let phase = 0;
  for (let trial = 0; trial < count; trial++) {
    const length = windowLength * (1 + (segments - 1) / 4);
    const x = whiteNoise(length, 3 * trial + 1);
    const y = withNoise(system.apply(x), whiteNoise(length, 3 * trial + 2), -5 + 15 * random.uniform());
    const h = transferFunction(x, y, rate, { windowLength });
    const band = confidenceBand(h);
    for (let i = 0; i < points; i++) {
      const { f, h: truth } = system.truth(i);
      const k = Math.round(f / h.frequency[0]) - 1;
      const { re, im } = truth;
      const trueLevel = 10 * Math.log10(re * re + im * im);
      if (trueLevel >= band.lower[k] && trueLevel <= band.upper[k]) level++;
      const off = Math.atan2(h.im[k] * re - h.re[k] * im, h.re[k] * re + h.im[k] * im);
      if (Math.abs((off * 180) / Math.PI) <= band.phase[k]) phase++;
    }
  }
  return { level: level / count / points, phase: phase / count / points };
}

describe("the band of 95 % holds the truth in 93 to 97 % of seeded trials", () => {
  for (const system of systems) {
    test.each([
      [49, 25],
      [161, 84],
    ])(
      `for ${system.name} and %i overlapping segments (some %i averages)`,
      (segments) => {
        const count = trials(60);
        const found = coverage(system, count, 15, segments);
        if (count > 60)
          console.log(`coverage, ${system.name}, ${segments} segments: ${JSON.stringify(found)}`);
        expect(found.level).toBeGreaterThan(0.93);
        expect(found.level).toBeLessThan(0.97);
        expect(found.phase).toBeGreaterThan(0.93);
        expect(found.phase).toBeLessThan(0.97);
      },
      900_000,
    );
  }
});

describe("the band's width", () => {
  const at = (coherence: number, averages: number): Response => ({
    frequency: Float64Array.of(1000),
    re: Float64Array.of(1),
    im: Float64Array.of(0),
    coherence: Float64Array.of(coherence),
    averages: Float64Array.of(averages),
  });
  test("follows Student's t as scipy.stats has it", () => {
    for (const [freedom, t] of Object.entries<number>(reference.student)) {
      const n = Number(freedom) / 2 + 1;
      // γ² = 0.9: relative error √(0.1 / (1.8 (n − 1))) as in Bendat and Piersol with n − 1 for n.
      const half = 10 ** (confidenceBand(at(0.9, n)).upper[0] / 20) - 1;
      expect(half / Math.sqrt(0.1 / 1.8 / (n - 1)) / t).toBeCloseTo(1, 3);
    }
  });
  test("is finite where nothing is known, and refuses what has no coherence", () => {
    const band = confidenceBand(at(0, 10));
    expect([band.lower[0], band.upper[0], band.phase[0]]).toEqual([-60, 60, 180]);
    expect(() => confidenceBand({ ...at(0.5, 10), coherence: undefined })).toThrow(/no coherence/);
    expect(() => confidenceBand(at(0.5, 1))).toThrow(/1 averages at 1000 Hz/);
  });
});

describe("joined windows", () => {
  const x = whiteNoise(20 * rate, 11);
  test("follow a resonance from the lowest frequency to the highest, without a step where lengths change", () => {
    // Each reference frequency with three more before the next: bins are pooled over a step of the grid.
    const wanted: number[] = reference.biquad.frequency;
    const step = (wanted[1] / wanted[0]) ** (1 / 4);
    const frequency = Float64Array.from(
      { length: 4 * wanted.length },
      (_, i) => wanted[i >> 2] * step ** (i & 3),
    );
    const y = biquad(x, reference.biquad.b, reference.biquad.a);
    const [h] = joinedTransferFunctions(x, [y], rate, { frequency, periods: 100 });
    reference.biquad.re.forEach((re: number, i: number) => {
      expect(Math.hypot(h.re[4 * i] - re, h.im[4 * i] - reference.biquad.im[i])).toBeLessThan(0.01);
    });
  });

  test("change smoothly from point to point on a fine grid in a system that does", () => {
    const y = mix(x, [
      { gain: 1, samples: 0 },
      { gain: 0.5, samples: 6 },
    ]);
    const [h] = joinedTransferFunctions(x, [y], rate, {
      frequency: Float64Array.from({ length: 500 }, (_, i) => 30 * 1.0125 ** i),
    });
    for (let i = 1; i < h.re.length; i++) {
      const f = h.frequency[i];
      // Steepest slope of the truth: 0.5 · 2π · 6 / rate per hertz.
      const most = ((0.5 * 2 * Math.PI * 6) / rate) * (f - h.frequency[i - 1]);
      expect(Math.hypot(h.re[i] - h.re[i - 1], h.im[i] - h.im[i - 1])).toBeLessThan(most + 0.01);
    }
  });

  test("rest on more averages at high frequencies than at low ones", () => {
    const [h] = joinedTransferFunctions(x, [x], rate);
    expect(h.averages![0]).toBeGreaterThan(5);
    expect(h.averages![239]).toBeGreaterThan(50 * h.averages![0]);
  });

  test("hold the truth in 93 to 97 % of trials too", () => {
    const count = Math.min(200, trials(20));
    const random = seeded(5);
    let inside = 0;
    let all = 0;
    for (let trial = 0; trial < count; trial++) {
      const noise = whiteNoise(3 * rate, 500 + trial);
      const sent = x.subarray(0, 3 * rate);
      const [h] = joinedTransferFunctions(sent, [withNoise(sent, noise, 10 * random.uniform())], rate, {
        frequency: Float64Array.from({ length: 20 }, (_, i) => 100 * 1.28 ** i),
      });
      const { lower, upper } = confidenceBand(h);
      lower.forEach((low, i) => {
        if (low <= 0 && upper[i] >= 0) inside++;
        all++;
      });
    }
    if (count > 20) console.log(`coverage, joined windows: ${inside / all}`);
    expect(inside / all).toBeGreaterThan(0.93);
    expect(inside / all).toBeLessThan(0.97);
  }, 900_000);
});

describe("a measured impulse response (head-related, two channels at 48 kHz, in the npm package omnitone 1.3.0)", () => {
  const text = readFileSync(
    `${__dirname}/../../../node_modules/omnitone/test/resources/omnitone-foa-hrir-base64.js`,
    "utf8",
  );
  const wav = readWav(Buffer.from(/"([A-Za-z0-9+/=]{200,})"/.exec(text)![1], "base64"));
  const impulse = Float64Array.from(wav.channels[0]);
  const x = whiteNoise(4 * rate, 31);
  const paths = [...impulse].map((gain, samples) => ({ gain, samples: samples + 500 }));
  const y = withNoise(mix(x, paths), whiteNoise(4 * rate, 32), 20);
  const peak = impulse.reduce((best, v, i) => (Math.abs(v) > Math.abs(impulse[best]) ? i : best), 0);

  test("is recovered from noise 20 dB below: its level within the band in 93 to 98 % of frequencies", () => {
    const h = transferFunction(x, y, rate, { windowLength: 4096, delay: 500 / rate });
    const band = confidenceBand(h);
    let inside = 0;
    let all = 0;
    for (let k = 20; k < 1900; k += 5) {
      let [re, im] = [0, 0];
      impulse.forEach((v, n) => {
        re += v * Math.cos((2 * Math.PI * h.frequency[k] * n) / rate);
        im -= v * Math.sin((2 * Math.PI * h.frequency[k] * n) / rate);
      });
      const level = 10 * Math.log10(re * re + im * im);
      if (level >= band.lower[k] && level <= band.upper[k]) inside++;
      all++;
    }
    expect(inside / all).toBeGreaterThan(0.93);
    expect(inside / all).toBeLessThan(0.98);
  });

  test("has its arrival found within half a millisecond of its highest sample", () => {
    const { chosen } = estimateDelay(x, y, rate);
    expect(Math.abs(chosen.time * rate - 500 - peak)).toBeLessThan(24);
  });
});
