/** Takes of a room of two microphones, in which something is heard besides. */
import { describe, expect, test } from "vitest";
import { logGrid, thirdOctaves } from "../../lib/acoustics/bands/bands";
import { normal } from "../../lib/numeric/random";
import { atLowRate } from "../../lib/study/low-rate";
import type { OpenTake } from "../../lib/study/open-take";
import type { RecordedTake } from "../../lib/study/show-file";
import { steadyPart } from "../../lib/study/steady-part";

// So high that the low rate is another.
const rate = 13_200;
const seconds = 24;
const frequency = logGrid(20, 4000, 120);
const take: RecordedTake = {
  playing: "mains",
  recording: "mains.wav",
  reference: 1,
  microphones: { "row 1": 2, "row 2": 3 },
};
const found = [
  { position: "row 1", bulk: 0.01 },
  { position: "row 2", bulk: 0.03 },
];
const white = (seed: number, level = 1) => {
  const next = normal(seed);
  return Float64Array.from({ length: seconds * rate }, () => level * next());
};
/** Beats of white noise that die away, with a pause. */
const beats = () =>
  white(1).map((x, n) => ((n / rate) % 9 > 7 ? 0 : x * Math.exp((-8 * (n % (rate / 2))) / rate)));

function opened(sent: Float64Array, besides: (channel: number, t: number) => number): OpenTake {
  const channels = new Map(
    found.map(({ bulk }, i) => {
      const noise = white(2 + i, 0.02);
      const next = normal(10 + i);
      const late = Math.round(bulk * rate);
      const heard = sent.map((_, n) => (sent[n - late] ?? 0) + noise[n] + besides(i, n / rate) * next());
      return [i + 2, heard];
    }),
  );
  const open = {
    reference: sent,
    channels,
    sampleRate: rate,
    oneClock: true,
    start: 100,
    faulty: new Map(),
    damaged: new Set<number>(),
  };
  return atLowRate(open, "mains");
}
const passing = (from: number, to: number, level: number, only?: number) => (i: number, t: number) =>
  t >= from && t < to && (only === undefined || i === only) ? level : 0;

describe("the steady part of a take", () => {
  test("tells the noise of the whole mid band, up to the edge of the third octave of 2 kHz, and nothing beyond", () => {
    const { told } = steadyPart(
      take,
      found,
      opened(white(1), () => 0),
      frequency,
    );
    const edge = thirdOctaves(2000, 2001)[0].upper;
    told.forEach(({ density }) => {
      frequency.forEach((f, k) => {
        // White noise of level 0.02: its square over all of half the rate.
        if (f < edge && f > 60)
          expect(Math.abs(10 * Math.log10((density[k] * rate) / 2 / 0.02 ** 2))).toBeLessThan(1.5);
        if (f > 1.1 * edge) expect(density[k]).toBe(Number.POSITIVE_INFINITY);
      });
    });
  });

  test("is all of it where only the music varies", () => {
    for (const sent of [white(1), beats()]) {
      const { pieces, warnings } = steadyPart(
        take,
        found,
        opened(sent, () => 0),
        frequency,
      );
      expect(warnings).toEqual([]);
      expect(pieces).toBe(undefined);
    }
  });

  test("leaves out what passes, and says where, when and what of it", () => {
    for (const sent of [white(1), beats()]) {
      const { pieces, warnings } = steadyPart(take, found, opened(sent, passing(9, 13, 1)), frequency);
      expect(pieces!.length).toBe(2);
      const [before, after] = [pieces![0][1], pieces![1][0]];
      expect(before).toBeGreaterThan(7);
      expect(before).toBeLessThanOrEqual(9);
      expect(after).toBeGreaterThanOrEqual(13);
      expect(after).toBeLessThan(15);
      // The file began 100 s before.
      expect(warnings).toEqual([
        expect.stringMatching(
          /^recording "mains.wav": from 10[78]\.\d to 11[34]\.\d s it is not steady at all positions: something else was heard, which raises the level there by up to \d+\.\d dB; that part is left out$/,
        ),
      ]);
    }
  });

  test("names the position that alone heard it", () => {
    const { warnings } = steadyPart(take, found, opened(white(1), passing(9, 13, 1, 1)), frequency);
    expect(warnings.join()).toMatch(/not steady at "row 2":/);
  });

  test("is not made of what is left of a single sweep, which is said", () => {
    const growth = Math.log(4000 / 20);
    const sweep = Float64Array.from({ length: seconds * rate }, (_, n) =>
      Math.sin(((2 * Math.PI * 20 * seconds) / growth) * (Math.exp((n / rate / seconds) * growth) - 1)),
    );
    const { pieces, warnings } = steadyPart(take, found, opened(sweep, passing(2, 7, 1)), frequency);
    expect(pieces).toBe(undefined);
    expect(warnings.join()).toMatch(/used all the same, and levels may be \d+\.\d dB off: measure again/);
  });

  test("tells the noise of a take, and its sound in the bands that decide", () => {
    const { told } = steadyPart(take, found, opened(white(1), passing(9, 13, 1)), frequency);
    for (const { density, bands } of told) {
      const middle = density.filter((_, i) => frequency[i] > 500 && frequency[i] < 1500);
      const mean = middle.reduce((a, b) => a + b, 0) / middle.length;
      // White noise of mean square 0.0004 up to half the sample rate.
      expect(Math.abs(10 * Math.log10((mean * rate) / 2 / 0.0004))).toBeLessThan(1);
      expect(Math.abs(10 * Math.log10(bands[1].sound / ((2 / rate) * 1350)))).toBeLessThan(0.5);
    }
  });
});
