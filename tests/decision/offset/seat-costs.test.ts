// Both loops against the definition, seat by seat with the built-in logarithm.
import { describe, expect, it } from "vitest";
import {
  plainSums,
  type SeatPhases,
  type SumMaker,
  seatCosts,
  simdSums,
} from "../../../lib/decision/offset/seat-costs";
import { uniform } from "../../../lib/numeric/random";

const random = uniform(5);
const between = (a: number, b: number) => a + (b - a) * random();

/** Seats of every kind: subs far too soft and too loud, against the mains almost to silence; a number that fills no pair. */
const n = 203;
const forms = {
  a: Float64Array.from({ length: n }, () => 10 ** between(-4, 2)),
  b: new Float64Array(n),
  c: Float64Array.from({ length: n }, () => 10 ** between(-4, 2)),
  mid: new Float64Array(n).fill(1),
};
forms.b.forEach((_, i) => {
  forms.b[i] = between(-1, 1) * Math.sqrt(forms.a[i] * forms.c[i]);
});
const people = Float64Array.from({ length: n }, () => between(0.1, 3));
const total = people.reduce((x, y) => x + y);
const weights = people.map((p) => p / total);

/** Three frequencies, which share out each seat's b with a phase of their own. */
const phases: SeatPhases = {
  frequency: Float64Array.of(35, 50, 71),
  re: Float64Array.from({ length: 3 * n }, (_, i) => (forms.b[Math.floor(i / 3)] / 3) * Math.cos(i)),
  im: Float64Array.from({ length: 3 * n }, (_, i) => (forms.b[Math.floor(i / 3)] / 3) * Math.sin(i)),
};

/** Real part of mains times the conjugate of subs that come later by e^(−i2πfτ). */
const delayedBy = (delay: number, polarity: number): number[] =>
  Array.from(forms.b, (_, seat) => {
    const parts = Array.from(phases.frequency, (f, k) => {
      const at = 3 * seat + k;
      const size = Math.hypot(phases.re[at], phases.im[at]);
      return size * Math.cos(Math.atan2(phases.im[at], phases.re[at]) + 2 * Math.PI * f * delay);
    });
    return polarity * parts.reduce((x, y) => x + y);
  });

function levels(offset: number, b: ArrayLike<number> = forms.b): number[] {
  const g = 10 ** (offset / 20);
  return Array.from(forms.a, (a, i) =>
    Math.max(-200, 10 * Math.log10(a + 2 * g * b[i] + g * g * forms.c[i])),
  );
}
const weighted = (values: readonly number[]) => values.reduce((sum, x, i) => sum + weights[i] * x, 0);

describe.each<[string, typeof plainSums]>([
  ["plain TypeScript", plainSums],
  ["WebAssembly SIMD", (f, w, phases) => simdSums(f, w, phases) as SumMaker],
])("costs over seats in %s", (_, makeSums) => {
  const costs = seatCosts(forms, weights, { makeSums });

  it.each([-40, -7.3, 0, 2.5, 31])("are those of the levels at an offset of %f dB", (offset) => {
    const d = levels(offset);
    expect(costs.of(offset, "least mean")).toBeCloseTo(weighted(d.map(Math.abs)), 7);
    expect(costs.of(offset, "least mean square")).toBeCloseTo(Math.sqrt(weighted(d.map((x) => x * x))), 7);
    expect(costs.of(offset, "least worst")).toBeCloseTo(Math.max(...d.map(Math.abs)), 7);
    const sums = costs.sums(offset);
    expect(Math.abs(sums[0] - weighted(d.map(Math.abs)))).toBeLessThan(1e-5);
    expect(Math.abs(Math.sqrt(sums[1]) - Math.sqrt(weighted(d.map((x) => x * x))))).toBeLessThan(1e-5);
    expect(Math.abs(sums[2] - Math.max(...d.map(Math.abs)))).toBeLessThan(1e-5);
    expect(sums[3]).toBeCloseTo(weighted(d.map((x) => Number(Math.abs(x) <= 3))), 6);
    expect(sums[4]).toBeCloseTo(weighted(d.map((x) => Number(Math.abs(x) <= 6))), 6);
  });

  it("end at 200 dB where mains and subs cancel", () => {
    const one = Float64Array.of(1);
    const silent = { a: one, b: Float64Array.of(-1), c: one, mid: one };
    expect(seatCosts(silent, one, { makeSums }).of(0, "least mean")).toBeCloseTo(200, 6);
    expect(seatCosts(silent, one, { makeSums }).of(0, "least worst")).toBeCloseTo(200, 6);
  });

  it("follow forms that are written anew, once told, whoever was asked in between", () => {
    const own = { ...forms, a: forms.a.slice() };
    const moving = seatCosts(own, weights, { makeSums });
    const before = moving.of(3, "least mean");
    costs.of(3, "least mean");
    own.a.fill(7);
    moving.changed();
    const after = moving.of(3, "least mean");
    expect(Math.abs(after - before)).toBeGreaterThan(0.1);
    expect(seatCosts(own, weights, { makeSums }).of(3, "least mean")).toBe(after);
  });

  it("follow a delay and a polarity of the subs, whoever was asked in between", () => {
    const delayed = seatCosts({ ...forms, b: forms.b.slice() }, weights, { phases, makeSums });
    for (const [delay, polarity] of [
      [0.0031, 1],
      [-0.0072, -1],
    ] as const) {
      delayed.delay(delay, polarity);
      costs.of(3, "least mean");
      const d = levels(2, delayedBy(delay, polarity));
      expect(delayed.of(2, "least mean")).toBeCloseTo(weighted(d.map(Math.abs)), 7);
      expect(delayed.of(2, "least worst")).toBeCloseTo(Math.max(...d.map(Math.abs)), 7);
    }
  });

  it("of no number are refused", () => {
    expect(() => costs.of(Number.NaN, "least mean")).toThrow("expected decibels");
  });
});
