import { describe, expect, test } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { joinedAverage, joinedTransferFunctions } from "../../../lib/measurement/transfer/joined";
import { uniform } from "../recordings";

const list = (...values: number[]) => Float64Array.from(values);
describe("joined windows", () => {
  const x = uniform(3, 3000);
  test("are each window's own where it holds the periods wanted, and pass from one to the next between", () => {
    const heard = x.map((v, n) => v + 0.5 * (x[n - 20] ?? 0));
    const frequency = list(10, 20, 40, 80);
    const alone = (windowLength: number) =>
      joinedTransferFunctions(x, [heard], 1000, { frequency, windowLengths: [windowLength] })[0];
    const [long, short] = [alone(512), alone(128)];
    // 512 samples hold 10.24 periods of 20 Hz, 128 hold 10.24 of 80 Hz.
    const [both] = joinedTransferFunctions(x, [heard], 1000, {
      frequency,
      windowLengths: [128, 512],
      periods: 10.24,
    });
    for (const part of ["re", "im", "averages"] as const) {
      expect(both[part]![0]).toBeCloseTo(long[part]![0], 12);
      expect(both[part]![1]).toBeCloseTo(long[part]![1], 12);
      // 40 Hz is halfway on the log axis: half of each.
      expect(both[part]![2]).toBeCloseTo((long[part]![2] + short[part]![2]) / 2, 12);
      expect(both[part]![3]).toBeCloseTo(short[part]![3], 12);
    }
    // The whole power at the microphone, |H|²/γ², is the longest window's at all frequencies.
    const wholePower = ({ re, im, coherence }: Response, i: number) =>
      (re[i] ** 2 + im[i] ** 2) / coherence![i];
    for (const i of [0, 1, 2, 3]) expect(wholePower(both, i) / wholePower(long, i)).toBeGreaterThan(0.999999);
  });

  test("leave out lengths with fewer than two averages while there are others", () => {
    const frequency = list(50, 100);
    const one = (windowLengths: number[]) =>
      joinedTransferFunctions(x.subarray(0, 300), [x.subarray(0, 300)], 1000, { frequency, windowLengths })[0]
        .averages;
    expect(one([256, 32])).toEqual(one([32]));
    expect(one([256])![0]).toBeGreaterThanOrEqual(1);
    expect(() => one([512, 1024])).toThrow(/shorter than the shortest window \(512 samples\)/);
  });

  test("stand on 240 frequencies from 20 Hz to 16 kHz or 0.45 of the sample rate, and take delays out", () => {
    const average = joinedAverage(2, 1000, { delays: [0.02, 0.0204] });
    const late = x.map((_, n) => x[n - 20] ?? 0);
    for (let at = 0; at < 3000; at += 700) {
      const block = (samples: Float64Array) => samples.subarray(at, at + 700);
      average.feed(block(x), [block(late), block(late)]);
    }
    const [exact, more] = average.result();
    expect([exact.frequency.length, exact.frequency[0], exact.frequency[239]]).toEqual([240, 20, 450]);
    expect(exact.re[200]).toBeCloseTo(1, 6);
    // 0.4 ms too much: forward by 360° · f · 0.0004.
    const f = more.frequency[200];
    expect(Math.atan2(more.im[200], more.re[200])).toBeCloseTo(2 * Math.PI * f * 0.0004, 3);
    expect(() => joinedAverage(1, 1000, { delays: [99] })).toThrow(/delay is 99/);
    expect(() => joinedAverage(1, 1)).toThrow(/sample rate/);
    expect(joinedTransferFunctions(uniform(1, 48_000), [uniform(1, 48_000)], 48_000)[0].frequency[239]).toBe(
      16_000,
    );
  });
});
