import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { estimateDelay } from "../../../lib/measurement/delay/delay";
import { convolve } from "../../../lib/measurement/spectra/convolve";
import { pinkNoise, whiteNoise } from "../noise";
import { biquad, delayed, mix, shifted, trials, uniform, withNoise } from "../recordings";
import { seeded } from "../seeded";

const reference = JSON.parse(readFileSync(`${__dirname}/../reference/estimators.json`, "utf8"));
const rate = 48000;
/** 300 tell one miss in a hundred. */
const few = () => Math.min(300, trials(6));
const heavy = 900_000;

/** Fourth-order sections of a sub: low cut at 30 Hz and high cut at 100 Hz, magnitude alone, so that the delay stays the truth. */
const sub = (bin: number, size: number) => {
  const f = (bin * rate) / size;
  return f === 0 ? 0 : 1 / (1 + (30 / f) ** 4) / (1 + (f / 100) ** 4);
};

/** Finds many random delays and counts how they went. */
function statistics(
  count: number,
  seed: number,
  ratio: number,
  make: (length: number, seed: number) => Float64Array,
  options: {
    seconds?: number;
    band?: { from: number; to: number };
    gain?: (bin: number, size: number) => number;
  } = {},
) {
  const random = seeded(seed);
  const length = Math.round((options.seconds ?? 1.2) * rate);
  const counts = { quarter: 0, within: 0, reliable: 0, misleading: 0 };
  for (let i = 0; i < count; i++) {
    const x = make(length, seed + 7 * i);
    const truth = (-0.048 + 0.545 * random.uniform()) * rate;
    const y = withNoise(shifted(x, truth, options.gain), whiteNoise(length, seed + 100_003 + i), ratio);
    const { chosen } = estimateDelay(x, y, rate, options.band ? { band: options.band } : {});
    const error = Math.abs(chosen.time * rate - truth);
    if (error <= 0.25) counts.quarter++;
    if (error <= chosen.uncertainty * rate) counts.within++;
    else if (chosen.reliable) counts.misleading++;
    if (chosen.reliable) counts.reliable++;
  }
  return {
    quarter: counts.quarter / count,
    within: counts.within / count,
    reliable: counts.reliable / count,
    misleading: counts.misleading / count,
  };
}

test("the strongest arrival is where scipy.signal.correlate has its peak", () => {
  const x = uniform(1, 60000);
  const paths = [
    { gain: 0.8, samples: 25 },
    { gain: -0.3, samples: 70 },
  ];
  const { chosen } = estimateDelay(x, mix(x, paths, { gain: 0.25, samples: uniform(2, 60000) }), rate);
  expect(Math.abs(chosen.time * rate - reference.strongestLag)).toBeLessThan(0.05);
});

describe("random delays from −48 to 497 ms in white noise are found within a quarter sample", () => {
  test.each([-20, -10, 0, 20, 60])(
    "at a signal-to-noise ratio of %d dB",
    (ratio) => {
      const count = few();
      const found = statistics(count, 500 + ratio, ratio, whiteNoise);
      if (count > 6) console.log(`delay, white, ${ratio} dB: ${JSON.stringify(found)}`);
      // In 1.2 s at −20 dB a few in a thousand may miss by chance; from −10 dB on none does.
      expect(found.quarter).toBeGreaterThanOrEqual(ratio < -10 ? 0.97 : 1);
      expect(found.misleading).toBeLessThanOrEqual(0.03);
    },
    heavy,
  );
});

describe("pink noise through a room full of white noise", () => {
  test.each([-20, -10, 0, 20, 60])(
    "at %d dB is never given with false certainty",
    (ratio) => {
      const count = few();
      const found = statistics(count, 900 + ratio, ratio, (n, s) => pinkNoise(n, s, rate));
      if (count > 6) console.log(`delay, pink, ${ratio} dB: ${JSON.stringify(found)}`);
      expect(found.misleading).toBeLessThanOrEqual(0.03);
      if (ratio >= 0) expect(found.quarter).toBeGreaterThanOrEqual(0.97);
    },
    heavy,
  );
});

describe("a sub's delay, searched from 30 to 120 Hz, lies within the stated uncertainty", () => {
  test.each([-20, 0, 20, 60])(
    "at %d dB",
    (ratio) => {
      const count = few();
      const options = { seconds: 2, band: { from: 30, to: 120 }, gain: sub };
      const found = statistics(count, 1300 + ratio, ratio, whiteNoise, options);
      if (count > 6) console.log(`delay, sub, ${ratio} dB: ${JSON.stringify(found)}`);
      expect(found.misleading).toBeLessThanOrEqual(0.03);
      if (ratio >= 0) expect(found.within).toBeGreaterThanOrEqual(0.95);
    },
    heavy,
  );

  test("even where the sub's own filters delay it: within it of the energy's centre", () => {
    // Bilinear second-order Butterworth sections: high-pass at 30 Hz, low-pass at 100 Hz twice (a Linkwitz-Riley one).
    const section = (f: number, high: boolean) => {
      const t = Math.tan((Math.PI * f) / rate);
      const d = 1 + Math.SQRT2 * t + t * t;
      const b = high ? [1 / d, -2 / d, 1 / d] : [(t * t) / d, (2 * t * t) / d, (t * t) / d];
      return { b, a: [1, (2 * (t * t - 1)) / d, (1 - Math.SQRT2 * t + t * t) / d] };
    };
    const sections = [section(30, true), section(100, false), section(100, false)];
    const filtered = (x: Float64Array) => sections.reduce((y, { b, a }) => biquad(y, b, a), x);
    const impulse = filtered(Float64Array.from({ length: 9600 }, (_, n) => (n === 0 ? 1 : 0)));
    const energy = impulse.reduce((sum, v) => sum + v * v, 0);
    const centre = impulse.reduce((sum, v, n) => sum + n * v * v, 0) / energy;
    const x = whiteNoise(96000, 1);
    const { chosen } = estimateDelay(x, delayed(filtered(x), 1000), rate, { band: { from: 30, to: 120 } });
    expect(Math.abs(chosen.time * rate - 1000 - centre)).toBeLessThan(chosen.uncertainty * rate);
  });

  test("which is a few milliseconds: a broad peak is not called sharp", () => {
    const x = whiteNoise(96000, 1);
    const { chosen } = estimateDelay(x, shifted(x, 1000, sub), rate, { band: { from: 30, to: 120 } });
    expect(chosen.uncertainty).toBeGreaterThan(0.001);
    expect(chosen.uncertainty).toBeLessThan(0.006);
  });
});

describe("a room", () => {
  test.each([6, 0, -6, -10])(
    "whose tail of 1.5 s holds the direct sound %d dB above itself does not hide it",
    (ratio) => {
      for (let i = 0; i < 3; i++) {
        const next = whiteNoise(rate, 7 * i + 1);
        const tail = next.map((v, n) => (n < 200 ? 0 : v * Math.exp((-6.91 * n) / (1.5 * rate))));
        const energy = tail.reduce((sum, v) => sum + v * v, 0);
        const impulse = tail.map((v) => (v * 10 ** (-ratio / 20)) / Math.sqrt(energy));
        impulse[0] = 1;
        const truth = 500 + 5000 * i;
        const x = pinkNoise(5 * rate, 50 + i, rate);
        const y = delayed(convolve(x, impulse).slice(0, x.length), truth);
        const { chosen } = estimateDelay(x, withNoise(y, whiteNoise(x.length, 90 + i), 25), rate);
        expect(Math.abs(chosen.time * rate - truth)).toBeLessThan(0.25);
        expect(chosen.reliable).toBe(true);
      }
    },
  );
});

describe("two arrivals", () => {
  const x = whiteNoise(96000, 21);
  test.each([12, 48, 480])("%d samples apart both show, with time, strength and polarity", (gap) => {
    const y = withNoise(
      mix(x, [
        { gain: 0.5, samples: 1000 },
        { gain: -1, samples: 1000 + gap },
      ]),
      whiteNoise(96000, 22),
      20,
    );
    const { candidates, chosen } = estimateDelay(x, y, rate);
    expect(candidates.length).toBe(2);
    expect(candidates[0].time * rate).toBeCloseTo(1000 + gap, 0);
    expect(candidates[1].time * rate).toBeCloseTo(1000, 0);
    expect(candidates[1].strength).toBeGreaterThan(-7.5);
    expect(candidates[1].strength).toBeLessThan(-4.5);
    expect(candidates.map((c) => c.polarity)).toEqual([-1, 1]);
    expect(chosen).toBe(candidates[0]);
  });

  test("are not made of one whose phase turns through two crossovers", () => {
    const pink = pinkNoise(6 * rate, 3, rate);
    const turned = [90, 1500].reduce((y, f) => {
      // Second-order all-pass, q 0.707, bilinear.
      const w = (2 * Math.PI * f) / rate;
      const [a, c] = [Math.sin(w) / Math.SQRT2, Math.cos(w)];
      const back = [1, (-2 * c) / (1 + a), (1 - a) / (1 + a)];
      return biquad(y, [...back].reverse(), back);
    }, pink);
    const y = withNoise(delayed(turned, 1000), whiteNoise(6 * rate, 5), 30);
    expect(estimateDelay(pink, y, rate).candidates.length).toBe(1);
    expect(estimateDelay(pink, y, rate, { band: { from: 30, to: 120 } }).candidates.length).toBe(1);
  });

  test("the first can be chosen instead of the strongest, and the user's own time instead of either", () => {
    const y = mix(x, [
      { gain: 0.5, samples: 1000 },
      { gain: 1, samples: 1480 },
    ]);
    expect(estimateDelay(x, y, rate, { choose: "first" }).chosen.time * rate).toBeCloseTo(1000, 1);
    const own = estimateDelay(x, y, rate, { time: 0.0123 });
    expect(own.manual).toBe(true);
    expect(own.chosen.time).toBe(0.0123);
    expect(own.candidates.length).toBe(2);
  });
});

describe("honesty", () => {
  test("unrelated signals give no reliable delay", () => {
    for (let seed = 0; seed < 5; seed++) {
      const { candidates } = estimateDelay(whiteNoise(72000, 40 + seed), whiteNoise(72000, 80 + seed), rate);
      expect(candidates.length).toBe(1);
      expect(candidates[0].reliable).toBe(false);
    }
  });
  test("a band with noise does not hide the arrival", () => {
    const x = pinkNoise(96000, 3, rate);
    const hum = Float64Array.from({ length: 96000 }, (_, n) => 5 * Math.sin((2 * Math.PI * 50 * n) / rate));
    const y = delayed(x, 777).map((v, n) => v + hum[n]);
    expect(estimateDelay(x, y, rate).chosen.time * rate).toBeCloseTo(777, 0);
  });
  test("silence, an empty range and an impossible band are refused in words", () => {
    const x = whiteNoise(48000, 1);
    expect(() => estimateDelay(x, new Float64Array(48000), rate)).toThrow(/signal is silent/);
    expect(() => estimateDelay(new Float64Array(48000), x, rate)).toThrow(/reference is silent/);
    expect(() => estimateDelay(x, x, rate, { from: 0.2, to: 0.1 })).toThrow(
      /expected the first to be earlier/,
    );
    expect(() => estimateDelay(x, x, rate, { band: { from: 100, to: 30000 } })).toThrow(/up to 24000 Hz/);
  });
});
