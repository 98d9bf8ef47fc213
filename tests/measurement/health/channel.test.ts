import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { channelHealth } from "../../../lib/measurement/health/channel";

const options = { sampleRate: 10, gap: 0.2, step: 2 ** -15 };

function figures(samples: readonly number[], block = samples.length) {
  const channel = channelHealth(options);
  for (let at = 0; at < samples.length; at += block)
    channel.feed(Float64Array.from(samples.slice(at, at + block)));
  return channel.result();
}

/** Runs of one letter in a word, and where each begins. */
const runsIn = (word: string, letter: string) =>
  [...word.matchAll(new RegExp(`${letter}+`, "g"))].map(({ 0: run, index = 0 }) => ({
    length: run.length,
    index,
  }));

describe("the figures of a channel", () => {
  test("are peak, mean and effective value about the mean: of 0.6 and 0.2 they are 0.6, 0.4 and 0.2", () => {
    const { peak, mean, effective } = figures([0.6, 0.2]);
    expect(peak).toBe(0.6);
    expect(mean).toBeCloseTo(0.4, 12);
    expect(effective).toBeCloseTo(0.2, 12);
    expect(figures([0.1, -0.7, 0.3]).peak).toBe(0.7);
    const nothing = { count: 0, first: 0 };
    const zero = { peak: 0, mean: 0, effective: 0, clipped: nothing, gaps: nothing };
    expect(figures([])).toEqual({ ...zero, notNumbers: nothing });
    expect(figures([NaN, -1e10, 1e10])).toEqual({ ...zero, notNumbers: { count: 3, first: 0 } });
    expect(figures([9.9e9, 9.9e9]).notNumbers.count).toBe(0);
  });

  test("are the same in blocks of any length, and count runs as they can be counted in a word", () => {
    const letters = { z: 0, s: 0.3, t: 0.2, C: 1, n: NaN };
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...(Object.keys(letters) as (keyof typeof letters)[])), { maxLength: 60 }),
        fc.integer({ min: 1, max: 9 }),
        fc.constantFrom(1, -1),
        (drawn, block, sign) => {
          const word = drawn.join("");
          const samples = drawn.map((letter) => sign * letters[letter]);
          const found = figures(samples);
          expect(figures(samples, block)).toEqual(found);
          // A gap is two zeros or more with something loud before and after.
          const gaps = runsIn(word, "z").filter(
            ({ index, length }) => length >= 2 && index > 0 && index + length < word.length,
          );
          expect(found.gaps).toEqual({ count: gaps.length, first: (gaps[0]?.index ?? 0) / 10 });
          const clipped = runsIn(word, "C").filter(({ length }) => length >= 3);
          expect(found.clipped).toEqual({ count: clipped.length, first: (clipped[0]?.index ?? 0) / 10 });
          const first = word.indexOf("n");
          expect(found.notNumbers).toEqual({
            count: word.split("n").length - 1,
            first: Math.max(0, first) / 10,
          });
        },
      ),
      { numRuns: 200 },
    );
  });

  test("count as clipped what rests at full scale of 16 bits, or one step below, either way", () => {
    for (const top of [1, 32767 / 32768, 1.5, -1, -32767 / 32768]) {
      expect(figures([0.1, top, top, top, 0.1]).clipped).toEqual({ count: 1, first: 0.1 });
      expect(figures([0.1, top, top, 0.1, top]).clipped.count).toBe(0);
    }
    expect(figures([0.1, 32765 / 32768, 32765 / 32768, 32765 / 32768]).clipped.count).toBe(0);
    expect(figures([1, 1, 1, 1, 1, 1]).clipped).toEqual({ count: 1, first: 0 });
  });

  test("or at a top of its own three times, where it comes by a jump of more than eight steps", () => {
    const step = 2 ** -15;
    const spots = (before: number, times: number, length = 3) =>
      [0.1, -0.1].concat(
        ...Array.from({ length: times }, () => [before, ...new Array(length).fill(0.5), 0.2]),
      );
    for (const sign of [1, -1]) {
      const clipped = (samples: number[]) => figures(samples.map((x) => sign * x)).clipped;
      expect(clipped(spots(0.4, 3))).toEqual({ count: 3, first: 0.3 });
      expect(clipped(spots(0.5 - 9 * step, 3)).count).toBe(3);
      expect(clipped(spots(0.5 - 8 * step, 3)).count).toBe(0);
      expect(clipped(spots(0.4, 2)).count).toBe(0);
      expect(clipped(spots(0.4, 9, 2)).count).toBe(0);
      // A higher top makes the lower ones no tops.
      expect(clipped([...spots(0.4, 5), 0.6]).count).toBe(0);
      expect(clipped([0.1, 0.6, 0.1, ...spots(0.4, 5)]).count).toBe(0);
      expect(
        clipped([...spots(0.4, 5), 0.1, 0.6, 0.6, 0.6, 0.1, 0.6, 0.6, 0.6, 0.1, 0.6, 0.6, 0.6]).first,
      ).toBe(2.8);
    }
    // A top below 0 is none: the wave goes on above it.
    expect(figures(spots(0.4, 4).map((x) => x - 0.9)).clipped.count).toBe(0);
  });
});
