import { describe, expect, test } from "vitest";
import { harmonicLevel, sweepTransferFunction } from "../../../lib/measurement/signals/distortion";
import { resample } from "../../../lib/measurement/signals/resample";
import {
  deconvolveSweep,
  exponentialSweep,
  type SweepResponse,
} from "../../../lib/measurement/signals/sweep";

/** Five octaves in a second: 0.2 s for each. */
const sweep = { from: 20, to: 640, seconds: 1, sampleRate: 2000 };

describe("a short sweep", () => {
  test("begins at its first frequency and is at any moment where equal ratios in equal times bring it", () => {
    const played = exponentialSweep({ ...sweep, fade: 0 });
    expect(played.length).toBe(2000);
    // The phase is 2π f1 L (e^{t/L} − 1) with L = 1 / ln 32 s: after 0.2 s, an octave, it has turned f1 L = 5.771 times.
    const turns = (20 * (2 - 1)) / Math.log(32);
    expect(turns).toBeCloseTo(5.771, 3);
    expect(played[400]).toBeCloseTo(Math.sin(2 * Math.PI * turns), 9);
    expect(played[800]).toBeCloseTo(Math.sin(2 * Math.PI * 3 * turns), 9);
  });

  test("rises from 0 and falls to 0 over its fade by sin², which is a half in its middle", () => {
    const [bare, faded] = [0, 0.1].map((fade) => exponentialSweep({ ...sweep, fade }));
    // 0.1 s are 200 samples; sin² of 45° is 1/2, of 30° 1/4.
    expect(faded[100]).toBeCloseTo(bare[100] / 2, 12);
    expect(faded[1999 - 100]).toBeCloseTo(bare[1999 - 100] / 2, 12);
    expect(faded[1999 - 67] / bare[1999 - 67]).toBeCloseTo(0.25, 1);
    for (const n of [200, 777, 1799]) expect(faded[n]).toBe(bare[n]);
    expect(faded[0] ** 2 + faded[1999] ** 2).toBe(0);
    // A hundredth of a second where nothing is said.
    expect([...exponentialSweep(sweep)]).toEqual([...exponentialSweep({ ...sweep, fade: 0.01 })]);
  });

  test("with limits that make no sense is refused in words", () => {
    const refused = (change: object) => expect(() => exponentialSweep({ ...sweep, ...change }));
    refused({ to: 20 }).toThrow(/sweep runs from 20 to 20 Hz, expected rising/);
    refused({ to: 1000 }).toThrow(/below half the sample rate, 1000 Hz/);
    refused({ from: 0 }).toThrow(/first frequency/);
    refused({ seconds: 200 }).toThrow(/length in seconds/);
    refused({ sampleRate: 10 }).toThrow(/sample rate/);
    refused({ fade: 0.6 }).toThrow(/fade in seconds/);
    expect(exponentialSweep({ ...sweep, fade: 0.5 }).length).toBe(2000);
    const played = exponentialSweep(sweep);
    expect(() => deconvolveSweep(played.subarray(1), sweep)).toThrow(/1999 samples and the sweep 2000/);
    expect(deconvolveSweep(played, sweep).origin).toBe(1999);
  });
});

describe("the orders of a deconvolved sweep", () => {
  const orders = () => {
    const recording = new Float64Array(3000);
    recording.set(exponentialSweep(sweep));
    return deconvolveSweep(recording, sweep);
  };

  test("lie T ln N / ln(f2 / f1) before the first, 0.2 s for 2 and 0.4 s for 4", () => {
    const heard = orders();
    expect([1, 2, 4].map((order) => heard.lead(order)).map((t) => Math.round(1e9 * t) / 1e9)).toEqual([
      0, 0.2, 0.4,
    ]);
    expect(heard.lead(3)).toBeCloseTo(0.317, 3);
    expect(() => heard.lead(0.5)).toThrow(/harmonic order/);
  });

  test("are cut out so that index `origin` of a piece is delay 0 of its order", () => {
    const heard = orders();
    for (const order of [1, 2, 3, 4]) {
      const { samples, origin } = heard.part(order);
      const zero = heard.origin - Math.round(heard.lead(order) * 2000);
      expect(samples[origin]).toBe(heard.impulse[zero]);
      expect(samples[0]).toBe(heard.impulse[zero - origin]);
    }
  });

  test("are as long as asked, or reach to where the next piece begins, each from 50 ms or a tenth of a gap before", () => {
    const heard = orders();
    const lengths = [1, 2, 3, 4].map((order) => heard.part(order).samples.length);
    // 2 lies 0.2 s before 1, 3 lies 0.117 s before 2, 4 lies 0.083 s before 3.
    [400, 234, 166].forEach((length, i) => {
      expect(Math.abs(lengths[i + 1] - length)).toBeLessThanOrEqual(1);
    });
    expect(heard.part(1, 0.25).samples.length).toBe(500);
    expect(heard.part(2, 0.1).samples.length).toBe(200);
    // A tenth of the 0.2 s to order 2 is 40 samples; of the 0.117 s from 2 to 3 it is 23.
    expect(heard.part(1).origin).toBe(40);
    expect(heard.part(2).origin).toBe(23);
    // An octave a second: a tenth of it would be 100 ms.
    const slow = { from: 50, to: 200, seconds: 2, sampleRate: 1000 };
    expect(deconvolveSweep(exponentialSweep(slow), slow).part(1).origin).toBe(50);
  });

  test("end with the impulse response", () => {
    const heard = orders();
    // 3000 and 2000 samples convolved are 4999, of which 1999 lie before delay 0; the 40 before a piece are left out at its end.
    expect(heard.part(1, 10).samples.length).toBe(3000);
    // Order 40 leads by 0.2 log₂ 40 = 1.0644 s, 2129 samples: before the first.
    const far = heard.part(40);
    expect([far.origin, far.samples.length]).toEqual([1999 - 2129, 0]);
  });
});

describe("transfer function and harmonics of pieces that are known", () => {
  /** Each order is one pulse of `gain` at delay 0, after `before` samples. */
  const pulses = (gains: Record<number, number>, before: number): SweepResponse => ({
    sampleRate: 1000,
    impulse: new Float64Array(0),
    origin: 0,
    lead: () => 0,
    part: (order) => {
      const samples = new Float64Array(before + 4);
      samples[before] = gains[order] ?? 0;
      return { samples, origin: before };
    },
  });

  test("a pulse at delay 0 has its gain at every frequency and no phase; a sample later it turns back by 2πf/fs", () => {
    const frequency = Float64Array.of(10, 125, 250, 400);
    for (const before of [0, 3]) {
      const { re, im } = sweepTransferFunction(pulses({ 1: -0.5 }, before), frequency);
      for (const v of re) expect(v).toBeCloseTo(-0.5, 12);
      for (const v of im) expect(v).toBeCloseTo(0, 12);
    }
    const late = { ...pulses({}, 0), part: () => ({ samples: Float64Array.of(0, 0, 1), origin: 1 }) };
    const { re, im } = sweepTransferFunction(late, Float64Array.of(125, 250));
    // 45° and 90°.
    [Math.SQRT1_2, 0].forEach((v, i) => {
      expect(re[i]).toBeCloseTo(v, 12);
    });
    [-Math.SQRT1_2, -1].forEach((v, i) => {
      expect(im[i]).toBeCloseTo(v, 12);
    });
  });

  test("a tenth of the fundamental is −20 dB, none at all −300 dB", () => {
    const found = pulses({ 1: 2, 2: 0.2, 3: 0 }, 2);
    for (const level of harmonicLevel(found, Float64Array.of(20, 50), 2)) expect(level).toBeCloseTo(-20, 9);
    expect(harmonicLevel(found, Float64Array.of(20), 3)[0]).toBeCloseTo(-300, 9);
    expect(harmonicLevel(pulses({ 1: 1, 2: 3 }, 0), Float64Array.of(20), 2)[0]).toBeCloseTo(9.542, 3);
  });

  test("orders are whole numbers up to 99, of harmonics from 2 on", () => {
    const found = pulses({ 1: 1 }, 0);
    const frequency = Float64Array.of(1);
    for (const order of [0, 1.5, 100]) {
      expect(() => sweepTransferFunction(found, frequency, { order })).toThrow(/harmonic order/);
    }
    for (const order of [1, 2.5, 100]) {
      expect(() => harmonicLevel(found, frequency, order)).toThrow(/harmonic order/);
    }
    expect(sweepTransferFunction(found, frequency, { order: 99 }).re[0]).toBe(0);
  });

  test("a second of each is used, or as much as is said", () => {
    const asked: (number | undefined)[] = [];
    const found = pulses({ 1: 1, 2: 1 }, 0);
    const noting = {
      ...found,
      part: (order: number, seconds?: number) => {
        asked.push(order, seconds);
        return found.part(order);
      },
    };
    sweepTransferFunction(noting, Float64Array.of(1));
    sweepTransferFunction(noting, Float64Array.of(1), { order: 2, seconds: 0.3 });
    expect(asked).toEqual([1, 1, 2, 0.3]);
  });
});

describe("resampling", () => {
  test("reads sample n at n · ratio, as far as the recording goes", () => {
    const slow = (n: number) => Math.sin(0.3 * n + 1);
    const x = Float64Array.from({ length: 400 }, (_, n) => slow(n));
    for (const ratio of [0.98, 1.013, 1.02]) {
      const y = resample(x, ratio);
      expect(y.length).toBe(Math.floor(399 / ratio) + 1);
      for (const n of [100, 200, 300]) expect(y[n]).toBeCloseTo(slow(n * ratio), 3);
    }
    expect([...resample(Float64Array.of(5), 1)]).toEqual([5]);
    for (const ratio of [0.97, 1.03]) expect(() => resample(x, ratio)).toThrow(/ratio of sample rates/);
  });
});
