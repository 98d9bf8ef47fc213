import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { bulkDelay, delayed } from "../../../lib/measurement/delay/bulk";
import { evenly } from "../../evenly";

const turned = (frequency: Float64Array, seconds: number, gain = (_f: number) => 1): Response => ({
  frequency,
  re: frequency.map((f) => gain(f) * Math.cos(2 * Math.PI * f * seconds)),
  im: frequency.map((f) => -gain(f) * Math.sin(2 * Math.PI * f * seconds)),
});

describe("the delay on the whole", () => {
  test("of a response that is late and nothing else is that, whatever its level over frequency", () => {
    const frequency = logGrid(20, 500, 60);
    fc.assert(
      fc.property(evenly(-0.3, 0.3), evenly(-2, 2), (seconds, slope) => {
        const found = bulkDelay(turned(frequency, seconds, (f) => (f / 100) ** slope));
        expect(found).toBeCloseTo(seconds, 7);
      }),
      { numRuns: 15 },
    );
  });

  test("on equal steps is the smallest that agrees, within half of 1 / step", () => {
    const steps = Float64Array.from({ length: 40 }, (_, i) => 10 * (i + 1));
    for (const [late, found] of [
      [0.049, 0.049],
      [0.06, -0.04],
      [-0.13, -0.03],
      [0.1, 0],
    ])
      expect(bulkDelay(turned(steps, late))).toBeCloseTo(found, 7);
  });

  test("is that of the strong points where others say another", () => {
    const frequency = logGrid(20, 500, 60);
    const [early, late] = [turned(frequency, 0), turned(frequency, 0.02)];
    const mixed = (gain: number): Response => ({
      frequency,
      re: early.re.map((v, i) => v + gain * late.re[i]),
      im: early.im.map((v, i) => v + gain * late.im[i]),
    });
    expect(Math.abs(bulkDelay(mixed(0.2)))).toBeLessThan(0.002);
    expect(Math.abs(bulkDelay(mixed(5)) - 0.02)).toBeLessThan(0.002);
    expect(bulkDelay({ frequency, re: new Float64Array(60), im: new Float64Array(60) })).toBe(0);
  });

  test("put on turns each frequency back by its share, and taken out again leaves what was", () => {
    // 10 ms are 90° at 25 Hz and 180° at 50 Hz.
    const { re, im } = delayed(
      { frequency: Float64Array.of(25, 50), re: Float64Array.of(2, 3), im: Float64Array.of(1, 0) },
      0.01,
    );
    [1, -3].forEach((v, i) => {
      expect(re[i]).toBeCloseTo(v, 12);
    });
    [-2, 0].forEach((v, i) => {
      expect(im[i]).toBeCloseTo(v, 12);
    });
    const some = turned(logGrid(20, 500, 9), 0.3);
    const back = delayed(delayed(some, 0.0123), -0.0123);
    back.re.forEach((v, i) => {
      expect(v).toBeCloseTo(some.re[i], 12);
    });
  });
});
