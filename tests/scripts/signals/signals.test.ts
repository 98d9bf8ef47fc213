/** Test signals are what they say: levels, spectra, seams; and are known again in recordings. */
import { describe, expect, it } from "vitest";
import { normal } from "../../../lib/numeric/random";
import { pinkNoise } from "../../../scripts/signals/pink-noise";
import { recogniseSignal } from "../../../scripts/signals/recognise";
import { type SignalKind, signalKinds, testSignal } from "../../../scripts/signals/signals";

const sampleRate = 16_000;

/** Mean square at one frequency of a period, by the plain sum: no transform of ours. */
function powerAt(x: Float64Array, k: number): number {
  let [re, im] = [0, 0];
  x.forEach((v, n) => {
    const angle = (2 * Math.PI * k * n) / x.length;
    re += v * Math.cos(angle);
    im -= v * Math.sin(angle);
  });
  return (2 * (re * re + im * im)) / x.length ** 2;
}

describe("pink noise", () => {
  const noise = pinkNoise({ sampleRate, from: 50, to: 5000, period: 1 });
  const bin = (hertz: number) => Math.round((hertz * noise.length) / sampleRate);

  it("falls by 3.01 dB an octave within its limits and has nothing outside of them", () => {
    for (const hertz of [60, 120, 500, 2000]) {
      const ratio = powerAt(noise, bin(hertz)) / powerAt(noise, 2 * bin(hertz));
      expect(10 * Math.log10(ratio)).toBeCloseTo(3.0103, 3);
    }
    for (const hertz of [20, 48, 5100, 7000])
      expect(powerAt(noise, bin(hertz)) / powerAt(noise, bin(60))).toBeLessThan(1e-18);
  });

  it("peaks at 1, about 7 dB above its RMS value", () => {
    const square = noise.reduce((sum, x) => sum + x * x, 0) / noise.length;
    expect(noise.reduce((most, x) => Math.max(most, Math.abs(x)), 0)).toBe(1);
    expect(-10 * Math.log10(square)).toBeLessThan(8);
  });

  it("repeats without a seam: the step over the end is like any other", () => {
    const steps = noise.map((x, n) => Math.abs(x - noise[(n + 1) % noise.length]));
    expect(steps[noise.length - 1]).toBeLessThan(Math.max(...steps.subarray(0, -1)));
  });
});

describe("a test signal", () => {
  it.each(signalKinds)("%s has the level that was asked for, and quiet before and after it", (kind) => {
    const { samples, rms_db, peak_db } = testSignal(kind, { sampleRate, level: -26, seconds: 4 });
    expect(kind === "polarity" ? peak_db : rms_db).toBeCloseTo(-26, 6);
    expect(20 * Math.log10(samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0))).toBeCloseTo(
      peak_db,
      6,
    );
    const quiet = 1.4 * sampleRate;
    expect([...samples.subarray(0, quiet), ...samples.subarray(-quiet)].every((x) => x === 0)).toBe(true);
  });

  it("that would go beyond full scale is refused", () => {
    expect(() => testSignal("noise", { sampleRate, level: -2 })).toThrow(
      /above full scale: choose a lower level/,
    );
  });

  it("of polarity is never negative", () => {
    expect(testSignal("polarity", { sampleRate }).samples.every((x) => x >= 0)).toBe(true);
  });
});

describe("a recording of a test signal", () => {
  /** In a small room: direct sound, inverted reflections that die away, and noise 20 dB down. */
  const inRoom = (kind: SignalKind, late: number): Float64Array => {
    const { samples } = testSignal(kind, { sampleRate });
    const random = normal(7);
    const echoes = [
      [0, 1],
      [0.004, -0.6],
      [0.011, 0.5],
      [0.023, -0.35],
      [0.05, 0.25],
    ].map(([seconds, gain]) => [Math.round((late + seconds) * sampleRate), gain] as const);
    // A pulse a second holds little energy and asks for a quiet room.
    const noise = kind === "polarity" ? 0.0003 : 0.01;
    return Float64Array.from({ length: samples.length + late * sampleRate }, (_, n) =>
      echoes.reduce((sum, [by, gain]) => sum + gain * (samples[n - by] ?? 0), noise * random()),
    );
  };

  it.each(signalKinds)("%s is known again by a microphone, and is no copy of what was sent", (kind) => {
    expect(recogniseSignal(inRoom(kind, 3), sampleRate)).toMatchObject({ kind, isCopy: false });
  });

  it.each(signalKinds)(
    "%s is a copy where it comes by a cable, half a sample late, inverted and softer",
    (kind) => {
      const { samples } = testSignal(kind, { sampleRate });
      const late = samples.map((_x, n) => -0.05 * ((samples[n - 400] ?? 0) + (samples[n - 401] ?? 0)));
      expect(recogniseSignal(late, sampleRate)).toMatchObject({ kind, isCopy: true });
    },
  );

  it("of anything else is none of them", () => {
    const random = normal(8);
    expect(
      recogniseSignal(
        Float64Array.from({ length: 12 * sampleRate }, () => 0.1 * random()),
        sampleRate,
      ),
    ).toBe(undefined);
    expect(recogniseSignal(new Float64Array(12 * sampleRate), sampleRate)).toBe(undefined);
  });
});
