import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { averagedSpectra, averageSpectra } from "../../../lib/measurement/spectra/averaged";
import { effectiveAverages, timeWindow } from "../../../lib/measurement/spectra/windows";
import { uniform } from "../recordings";

/** Σ w[n] x[start + n] e^{-j2πkn/N}, as it is defined. */
function spectrum(x: Float64Array, start: number, window: Float64Array, k: number): [re: number, im: number] {
  let [re, im] = [0, 0];
  window.forEach((w, n) => {
    const angle = (2 * Math.PI * k * n) / window.length;
    re += w * x[start + n] * Math.cos(angle);
    im -= w * x[start + n] * Math.sin(angle);
  });
  return [re, im];
}

describe("averaged spectra", () => {
  test("are the sums over segments of |X|², |Y|² and X*Y, whatever the channels, overlap, delays and blocks", () => {
    const some = fc.record({
      length: fc.integer({ min: 0, max: 120 }),
      microphones: fc.integer({ min: 1, max: 4 }),
      overlap: fc.constantFrom(0, 0.5, 0.75),
      block: fc.integer({ min: 1, max: 50 }),
      lags: fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 4, maxLength: 4 }),
    });
    fc.assert(
      fc.property(some, ({ length, microphones, overlap, block, lags }) => {
        const size = 16;
        const window = timeWindow("hann", size);
        const channels = Array.from({ length: microphones + 1 }, (_, c) => uniform(c + 1, length));
        const delays = lags.slice(0, microphones);
        const average = averageSpectra(microphones, { windowLength: size, overlap, delays });
        for (let at = 0; at < length; at += block) {
          const [x, ...y] = channels.map((samples) => samples.subarray(at, at + block));
          average.feed(x, y);
        }
        const found = average.result();
        average.close();

        const hop = size * (1 - overlap);
        const earliest = Math.min(0, ...delays);
        const skipped = [0, ...delays].map((lag) => lag - earliest);
        const starts: number[] = [];
        for (let s = 0; s + Math.max(...skipped) + size <= length; s += hop) starts.push(s);
        expect(found.windowLength).toBe(size);
        expect(found.segments).toBe(starts.length);
        expect(found.averages).toBe(starts.length && effectiveAverages(starts.length, window, hop));
        expect(found.microphones.length).toBe(microphones);
        expect(found.reference.length).toBe(size / 2 + 1);
        // The ends, 0 Hz and half the sample rate, are no part of any response.
        for (let k = 1; k < size / 2; k++) {
          let sent = 0;
          for (const s of starts) {
            const [xr, xi] = spectrum(channels[0], s + skipped[0], window, k);
            sent += xr * xr + xi * xi;
          }
          expect(found.reference[k]).toBeCloseTo(sent, 9);
          found.microphones.forEach(({ power, crossRe, crossIm }, m) => {
            let [heard, re, im] = [0, 0, 0];
            for (const s of starts) {
              const [xr, xi] = spectrum(channels[0], s + skipped[0], window, k);
              const [yr, yi] = spectrum(channels[m + 1], s + skipped[m + 1], window, k);
              heard += yr * yr + yi * yi;
              re += xr * yr + xi * yi;
              im += xr * yi - xi * yr;
            }
            expect(power[k]).toBeCloseTo(heard, 9);
            expect(crossRe[k]).toBeCloseTo(re, 9);
            expect(crossIm[k]).toBeCloseTo(im, 9);
          });
        }
      }),
      { numRuns: 60 },
    );
  });

  test("take Hann's window and an overlap of three quarters where nothing else is said", () => {
    const x = uniform(1, 100);
    const sums = [{ windowLength: 32 }, { windowLength: 32, window: "hann", overlap: 0.75 } as const].map(
      (options) => {
        const average = averageSpectra(1, options);
        average.feed(x, [x]);
        return average.result();
      },
    );
    // (100 − 32) / 8 + 1 = 9 and a half.
    expect(sums[0].segments).toBe(9);
    expect(sums[0]).toEqual(sums[1]);
  });

  test("of a recording in one piece are those of its blocks, however long", () => {
    const [x, y] = [uniform(1, 40_000), uniform(2, 40_000)];
    const options = { windowLength: 64, overlap: 0, delays: [17_000] };
    const [whole, pieces] = [averageSpectra(1, options), averageSpectra(1, options)];
    whole.feed(x, [y]);
    for (let at = 0; at < x.length; at += 999)
      pieces.feed(x.subarray(at, at + 999), [y.subarray(at, at + 999)]);
    const [a, b] = [whole.result(), pieces.result()];
    // (40,000 − 17,000) / 64 = 359.4.
    expect([a.segments, b.segments]).toEqual([359, 359]);
    a.microphones[0].crossRe.forEach((v, k) => {
      expect(b.microphones[0].crossRe[k]).toBeCloseTo(v, 8);
    });
  });

  test("of pieces are the sums of each piece's own, so that none knows of what lies between", () => {
    const [x, y] = [uniform(1, 300), uniform(2, 300)];
    const spoilt = y.map((value, n) => (n >= 90 && n < 150 ? 1e6 : value));
    const options = { windowLength: 16, overlap: 0.75, delays: [3] };
    const found = averagedSpectra(x, [spoilt], options, [
      [0, 90],
      [150, 300],
    ]);
    const each = [
      [0, 90],
      [150, 300],
    ].map(([from, to]) => averagedSpectra(x.slice(from, to), [y.slice(from, to)], options));
    expect(found.segments).toBe(each[0].segments + each[1].segments);
    found.reference.forEach((value, k) => {
      expect(value).toBeCloseTo(each[0].reference[k] + each[1].reference[k], 9);
      const [sum, first, second] = [found, ...each].map((s) => s.microphones[0].crossRe[k]);
      expect(sum).toBeCloseTo(first + second, 9);
    });
  });

  test("say what can't be summed: overlap, delays, blocks that don't fit, and which sample is no number", () => {
    for (const overlap of [-0.1, 1, NaN])
      expect(() => averageSpectra(1, { windowLength: 8, overlap })).toThrow(
        `overlap is ${overlap}, expected`,
      );
    expect(() => averageSpectra(1, { windowLength: 8, delays: [0.5] })).toThrow(/delay is 0.5 samples/);
    const average = averageSpectra(2, { windowLength: 8 });
    const x = new Float64Array(9).fill(1);
    expect(() => average.feed(x, [x])).toThrow(/1 microphone blocks were fed, expected 2/);
    expect(() => average.feed(x, [x, x.subarray(1)])).toThrow(/8 samples and the reference 9/);
    // Nine, so that the last one stands beside the fours that are added up together.
    for (let at = 0; at < 9; at++) {
      const bad = x.slice();
      bad[at] = at % 2 ? NaN : -Infinity;
      expect(() => average.feed(bad, [x, x])).toThrow(
        `the reference, sample ${at} of this block is ${bad[at]}`,
      );
      expect(() => average.feed(x, [x, bad])).toThrow(`microphone channel 2, sample ${at} of this block`);
    }
    const loud = x.map(() => 1e308);
    expect(() => average.feed(loud, [x, x])).toThrow(/too large for a sum/);
    average.feed(x, [x, x]);
    expect(average.result().segments).toBe(1);
  });
});
