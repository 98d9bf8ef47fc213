import { describe, expect, test } from "vitest";
import { leftByResponse, noiseDensity, noiseWhilePlaying } from "../../../lib/measurement/transfer/noise";
import { type Playing, unexplained } from "../../../lib/measurement/transfer/unexplained";
import { normal } from "../../../lib/numeric/random";

const rate = 4000;
const frequency = Float64Array.from([250, 500, 1000, 1500]);
const white = (seed: number, seconds: number, level: number) => {
  const next = normal(seed);
  return Float64Array.from({ length: seconds * rate }, () => level * next());
};
// White noise of mean square 1 has a single-sided density of 2 / sample rate.
const density = (meanSquare: number) => (2 * meanSquare) / rate;
const told = (playing: Playing) =>
  noiseWhilePlaying(
    playing,
    frequency,
    Array.from(unexplained(playing), (each) => leftByResponse(each, playing, frequency)),
  );
const decibels = (found: number, expected: number) => 10 * Math.log10(found / expected);

describe("the density of noise", () => {
  test("is 2/fs of the mean square of white noise, for windows long and short", () => {
    for (const seconds of [0.1, 1, 20]) {
      const [soft, loud] = noiseDensity([white(1, seconds, 0.1), white(2, seconds, 3)], rate, frequency);
      // Of BT independent values: a third octave is 0.23 of its frequency wide.
      frequency.forEach((f, i) => {
        const independent = Math.max(1, 0.23 * f * seconds);
        expect(Math.abs(decibels(soft[i], density(0.01)))).toBeLessThan(13 / Math.sqrt(independent));
        expect(Math.abs(decibels(loud[i], density(9)))).toBeLessThan(13 / Math.sqrt(independent));
      });
    }
    expect(() => noiseDensity([new Float64Array(100)], rate, frequency)).toThrow(/noise has 100 samples/);
  });

  test("is that of the noise alone while something plays, however long it rings", () => {
    const seconds = 40;
    const sent = white(3, seconds, 1);
    // A decay of 1.5 s by a recursion of its own: y[n] = g y[n − 37] + x[n], as loud as the noise is soft.
    const ring = 10 ** ((-3 * 37) / (1.5 * rate));
    const heard = sent.slice();
    for (let n = 37; n < heard.length; n++) heard[n] += ring * heard[n - 37];
    const power = heard.reduce((sum, x) => sum + x * x, 0) / heard.length;
    for (const below of [0, 10, 20]) {
      const meanSquare = power / 10 ** (below / 10);
      const noise = white(4, seconds, Math.sqrt(meanSquare));
      const signals = [heard.map((x, n) => x + noise[n])];
      const [found] = told({ reference: sent, signals, sampleRate: rate, delays: [0] })!;
      // Taken for noise, or not taken, it must not move the level of what plays by more than a tenth of a decibel or two.
      frequency.forEach((_, i) => {
        const error = Math.abs(found[i] - density(meanSquare)) / density(power);
        expect(10 * Math.log10(1 + error)).toBeLessThan(0.25);
      });
    }
    const brief = { reference: sent.subarray(0, 6000), signals: [heard.subarray(0, 6000)] };
    expect(told({ ...brief, sampleRate: rate, delays: [0] })).toBe(undefined);
  });

  test("is that of the pieces asked for, and doesn't know what was loud between them", () => {
    const sent = white(5, 30, 1);
    const noise = white(6, 30, 0.5);
    const heard = sent.map((x, n) => x + noise[n] * (n > 10 * rate && n < 14 * rate ? 20 : 1));
    const pieces = [
      [0, 10 * rate],
      [14 * rate, 30 * rate],
    ] as const;
    const playing = { reference: sent, signals: [heard], sampleRate: rate, delays: [0], pieces };
    for (const x of told(playing)![0]) expect(Math.abs(decibels(x, density(0.25)))).toBeLessThan(1);
  });
});
