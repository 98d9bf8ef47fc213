import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { calibrationFrom } from "../../../lib/measurement/health/calibrator";
import { matchMicrophones } from "../../../lib/measurement/health/microphones";
import { checkNoiseFloor } from "../../../lib/measurement/health/noise-floor";
import { convolve } from "../../../lib/measurement/spectra/convolve";
import { pinkNoise, whiteNoise } from "../noise";
import { biquad, shifted, uniform, withNoise } from "../recordings";

const reference = JSON.parse(readFileSync(`${__dirname}/../reference/estimators.json`, "utf8"));
const rate = 48000;

describe("microphones at one place", () => {
  const x = pinkNoise(4 * rate, 1, rate);
  const heard = (gain: number, samples = 0, seed = 0) =>
    withNoise(
      shifted(x, samples).map((v) => gain * v),
      whiteNoise(4 * rate, 100 + seed),
      40,
    );

  test("that agree pass, whatever noise each has of its own", () => {
    const match = matchMicrophones(
      [0, 1, 2, 3].map((i) => heard(1, 0, i)),
      rate,
    );
    for (const m of match) {
      expect(m.faults).toEqual([]);
      expect(m.pass).toBe(true);
      expect(Math.abs(m.level)).toBeLessThan(0.1);
    }
  });

  test("each fault is named with its figure and its correction, also on the first channel", () => {
    for (const position of [0, 2]) {
      const channels = [0, 1, 2, 3].map((i) => heard(1, 0, i));
      channels[position] = heard(-0.7079, 28.8, 9); // 3 dB low, upside down, 0.6 ms late
      const match = matchMicrophones(channels, rate);
      const bad = match[position];
      expect(bad.pass).toBe(false);
      expect(bad.polarity).toBe(-1);
      expect(bad.level).toBeCloseTo(-3, 1);
      expect(bad.delay * 1000).toBeCloseTo(0.6, 2);
      expect(bad.correction.gain).toBeCloseTo(3, 1);
      expect(bad.correction.polarity).toBe(-1);
      expect(bad.correction.delay * 1000).toBeCloseTo(-0.6, 2);
      expect(bad.faults.join("; ")).toMatch(/polarity is inverted; level is 3.0 dB low; 0.60 ms late/);
      expect(match.filter((m) => m.pass).map((m) => m.channel)).toEqual(
        [0, 1, 2, 3].filter((i) => i !== position),
      );
    }
  });

  test("a phase that differs in part of the band fails though level and polarity agree", () => {
    const channels = [0, 1, 2].map((i) => heard(1, 0, i));
    // First-order all-pass at 500 Hz, bilinear: (c + z⁻¹) / (1 + c z⁻¹).
    const c = (Math.tan((Math.PI * 500) / rate) - 1) / (Math.tan((Math.PI * 500) / rate) + 1);
    channels[1] = biquad(channels[1], [c, 1, 0], [1, c, 0]);
    const match = matchMicrophones(channels, rate, { spacing: 0.02 });
    expect(match[1].pass).toBe(false);
    expect(match[1].faults.join()).toMatch(/phase differs/);
  });

  test("a microphone that hears something else is named by its coherence", () => {
    const match = matchMicrophones([heard(1, 0, 1), heard(1, 0, 2), pinkNoise(4 * rate, 77, rate)], rate);
    expect(match[2].faults[0]).toMatch(/hears something else .*coherence/);
    expect(match[2].correction).toEqual({ gain: 0, polarity: 1, delay: 0 });
    expect(match[2].pass).toBe(false);
    expect(Number.isFinite(match[2].level)).toBe(true);
  });

  test("one channel, or a silent one, is refused", () => {
    expect(() => matchMicrophones([x], rate)).toThrow(/two or more/);
    expect(() => matchMicrophones([x, new Float64Array(x.length)], rate)).toThrow(/silent/);
  });
});

describe("microphones some centimetres apart in a reverberant room", () => {
  const low = 8000;
  /** Image sources of a box (Allen and Berkley, J. Acoust. Soc. Am. 65 (1979), 943) of 14 × 10 × 5 m whose walls keep 0.85 of the pressure. */
  function boxResponse(mic: readonly number[]) {
    const sides = [14, 10, 5];
    const source = [3, 4, 2];
    const h = new Float64Array(1 * low);
    const N = 12;
    for (let a = -2 * N; a <= 2 * N; a++)
      for (let b = -2 * N; b <= 2 * N; b++)
        for (let c = -2 * N; c <= 2 * N; c++) {
          const at = [a, b, c].map((n, i) =>
            n % 2 ? (n + 1) * sides[i] - source[i] : n * sides[i] + source[i],
          );
          const r = Math.hypot(at[0] - mic[0], at[1] - mic[1], at[2] - mic[2]);
          const n = (r / 343) * low;
          const whole = Math.floor(n);
          if (whole + 1 >= h.length) continue;
          const p = 0.85 ** (Math.abs(a) + Math.abs(b) + Math.abs(c)) / r;
          h[whole] += p * (1 - (n - whole));
          h[whole + 1] += p * (n - whole);
        }
    return h;
  }
  const offsets = [0, 0.1, 0.03, 0.07].map((d) => [9 + d, 6.2, 1.5]);
  const sent = pinkNoise(6 * low, 5, low);
  const takes = offsets.map((at, i) =>
    withNoise(convolve(sent, boxResponse(at)), whiteNoise(7 * low - 1, 20 + i), 25),
  );

  test("pass where they match, 10 cm apart, with levels within half a decibel", () => {
    for (const m of matchMicrophones(takes, low)) {
      expect(m.faults).toEqual([]);
      expect(Math.abs(m.level)).toBeLessThan(0.5);
    }
  });

  test("are found where they don't, the first as well", () => {
    for (const k of [0, 2]) {
      const channels = takes.map((take, i) => (i === k ? take.map((v) => -0.7079 * v) : take));
      const match = matchMicrophones(channels, low);
      expect(match.map((m) => m.pass)).toEqual([0, 1, 2, 3].map((i) => i !== k));
      expect(match[k].polarity).toBe(-1);
      expect(Math.abs(match[k].level + 3)).toBeLessThan(0.6);
    }
    const [first] = matchMicrophones([whiteNoise(takes[0].length, 9), ...takes.slice(1)], low);
    expect(first.faults[0]).toMatch(/hears something else/);
  });
});

describe("calibrator", () => {
  const tone = (rms: number, frequency: number, seconds = 3) =>
    Float64Array.from(
      { length: seconds * rate },
      (_, n) => rms * Math.SQRT2 * Math.sin((2 * Math.PI * frequency * n) / rate + 0.4),
    );

  test("94 dB is 1.0024 Pa: a tone of effective value 0.02 stands for 50.12 Pa per unit", () => {
    const found = calibrationFrom(tone(0.02, 1000.7), rate);
    expect(found.pascalsPerUnit).toBeCloseTo(1.0024 / 0.02, 2);
    expect(found.frequency).toBeCloseTo(1000.7, 2);
    expect(found.faults).toEqual([]);
  });
  test("114 dB at 250 Hz too, in noise", () => {
    const found = calibrationFrom(withNoise(tone(0.2, 250), whiteNoise(3 * rate, 3), 30), rate, {
      level: 114,
      frequency: 250,
    });
    expect(found.pascalsPerUnit / (10.024 / 0.2)).toBeCloseTo(1, 3);
    expect(Math.abs(found.toneToRest - 30)).toBeLessThan(1);
  });
  test("a wrong frequency, a wandering level, noise and clipping are named", () => {
    expect(
      calibrationFrom(withNoise(tone(0.02, 1000), whiteNoise(3 * rate, 3), 10), rate).faults.join(),
    ).toMatch(/only 10 dB/);
    const wandering = tone(0.02, 1000).map(
      (v, n) => v * (1 + 0.2 * Math.sin((2 * Math.PI * n) / (2 * rate))),
    );
    expect(calibrationFrom(wandering, rate).faults.join()).toMatch(/wanders/);
    expect(
      calibrationFrom(
        tone(0.8, 1000).map((v) => Math.max(-1, Math.min(1, v))),
        rate,
      ).faults.join(),
    ).toMatch(/full scale/);
    expect(calibrationFrom(tone(0.02, 1030), rate, {}).faults.length).toBeGreaterThan(0);
    expect(() => calibrationFrom(tone(1, 1000, 3).subarray(0, 100), rate)).toThrow(/1 s or more/);
    expect(() => calibrationFrom(new Float64Array(rate), rate)).toThrow(/silent/);
  });
});

describe("noise floor", () => {
  test("band levels are scipy.signal.welch's summed over the band", () => {
    const x = uniform(1, 48000);
    const { bands } = checkNoiseFloor(x, x, rate);
    for (const { frequency, level } of reference.bandLevels) {
      // Band edges of the standard are rounded to four digits in the reference.
      expect(bands.find((b) => b.frequency === frequency)!.noise).toBeCloseTo(level, 2);
    }
  });
  test("names the bands where the signal does not stand out, and the coherence that is left", () => {
    const noise = whiteNoise(10 * rate, 4).map((v) => 0.1 * v);
    const signal = pinkNoise(10 * rate, 5, rate).map((v, n) => 0.3 * v + whiteNoiseAt(n));
    function whiteNoiseAt(n: number): number {
      return noise2[n];
    }
    const { bands, pass, message } = checkNoiseFloor(noise, signal, rate);
    expect(pass).toBe(false);
    expect(bands.find((b) => b.frequency === 100)!.pass).toBe(true);
    expect(bands.find((b) => b.frequency === 16000)!.pass).toBe(false);
    expect(message).toMatch(/less than 10 dB above the noise at .*16000 Hz/);
  });
  const noise2 = whiteNoise(10 * rate, 6).map((v) => 0.1 * v);
  test("without any difference, nothing passes and nothing is NaN", () => {
    const x = whiteNoise(rate, 1);
    const { bands } = checkNoiseFloor(x, x, rate);
    for (const b of bands) expect([b.room, b.coherence, b.pass]).toEqual([-Infinity, 0, false]);
  });
});
