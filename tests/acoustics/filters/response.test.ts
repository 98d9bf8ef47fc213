import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Filter, Processing } from "../../../lib/acoustics/filters/filter";
import { filterResponse } from "../../../lib/acoustics/filters/response";
import { filterShape } from "../../../lib/acoustics/filters/shapes";
import { evenly } from "../../evenly";
import { expectAgreement, type Pair } from "../deviation";
import reference from "../reference/acoustics_filters.json";

type Kind = "lowpass" | "highpass";
const level = (filter: Processing | readonly Processing[], f: number): number => {
  const h = filterResponse(filter, [f]);
  return 20 * Math.log10(Math.hypot(h.re[0], h.im[0]));
};
const butterworth = (type: Kind, order: number, frequency = 100): Filter => ({
  kind: "butterworth",
  type,
  order,
  frequency,
});
const linkwitzRiley = (type: Kind, order: 2 | 4 | 8, frequency = 100): Filter => ({
  kind: "linkwitz-riley",
  type,
  order,
  frequency,
});
type Complex = { re: number; im: number };
const times = (a: Complex, b: Complex): Complex => ({
  re: a.re * b.re - a.im * b.im,
  im: a.re * b.im + a.im * b.re,
});
/** Phase at 100 Hz, radians, followed in small steps from where there is next to none. */
function phaseAtCorner(filter: Filter & { readonly type: Kind }): number {
  const way = logGrid(0.001, 100, 2000);
  const { re, im } = filterResponse(filter, filter.type === "lowpass" ? way : way.map((f) => 1e4 / f));
  return re.reduce(
    (sum, x, i) =>
      i === 0
        ? Math.atan2(im[0], x)
        : sum + Math.atan2(im[i] * re[i - 1] - x * im[i - 1], x * re[i - 1] + im[i] * im[i - 1]),
    0,
  );
}
const nameOf = (filter: object) => Object.values(filter).join(" ");

const frequency = fc.double({ min: 20, max: 16000, noNaN: true });
const order = fc.integer({ min: 1, max: 8 });
const anyFilter: fc.Arbitrary<Filter> = fc.oneof(
  fc.record({
    kind: fc.constant("butterworth" as const),
    type: fc.constantFrom<Kind>("lowpass", "highpass"),
    order,
    frequency,
  }),
  fc.record({
    kind: fc.constant("bessel" as const),
    type: fc.constantFrom<Kind>("lowpass", "highpass"),
    order,
    frequency,
    normalisation: fc.constantFrom("magnitude" as const, "phase" as const),
  }),
  fc.record({
    kind: fc.constant("linkwitz-riley" as const),
    type: fc.constantFrom<Kind>("lowpass", "highpass"),
    order: fc.constantFrom<2 | 4 | 8>(2, 4, 8),
    frequency,
  }),
  fc.record({
    kind: fc.constantFrom("peak" as const, "low-shelf" as const, "high-shelf" as const),
    frequency,
    gain: evenly(-18, 18),
    q: fc.double({ min: 0.3, max: 10, noNaN: true }),
  }),
  fc.record({
    kind: fc.constant("all-pass" as const),
    order: fc.constantFrom<1 | 2>(1, 2),
    frequency,
    q: fc.double({ min: 0.3, max: 10, noNaN: true }),
  }),
);

describe("against scipy.signal", () => {
  // butter, bessel (norm mag and phase) and freqs_zpk: scripts/reference/acoustics_filters.py.
  const rows = reference.rows as unknown as (Omit<(typeof reference.rows)[number], "filter"> & {
    filter: Filter;
  })[];

  it("every pass filter has the same poles and zeros", () => {
    // The table's corner lies at 90 Hz; a shape's is 1.
    const omega = 2 * Math.PI * 90;
    const pairs: Pair[] = [];
    for (const row of rows) {
      const { poles, zeros } = filterShape(row.filter);
      expect(zeros.length).toBe(row.zeros_at_0);
      for (const zero of zeros) expect(Math.hypot(zero.re, zero.im)).toBe(0);
      expect(poles.length).toBe(row.poles_re.length);
      // Double poles have no order of their own, so each of scipy's looks for its nearest one here.
      row.poles_re.forEach((re, i) => {
        const nearest = Math.min(
          ...poles.map((p) => Math.hypot(p.re - re / omega, p.im - row.poles_im[i] / omega)),
        );
        pairs.push([nearest, 0, nameOf(row.filter)]);
      });
    }
    expectAgreement("poles against scipy, relative to the corner", pairs, 1e-6);
  });

  it("every pass filter has the same complex response", () => {
    const pairs = rows.flatMap((row) => {
      const h = filterResponse(row.filter, reference.frequency);
      return reference.frequency.flatMap((f, i): Pair[] => {
        const error = Math.hypot(h.re[i] - row.re[i], h.im[i] - row.im[i]) / Math.hypot(row.re[i], row.im[i]);
        return [[error, 0, `${nameOf(row.filter)} at ${f} Hz`]];
      });
    });
    expectAgreement("response against scipy, relative", pairs, 2e-8);
  });

  // Digital designs at a very high sampling rate by pyfar, in the same script.
  it("peaks, shelves and all-passes agree with pyfar", () => {
    const at = reference.parametric_frequency;
    const pairs = reference.parametric.flatMap((row) => {
      const h = filterResponse(row.filter as Filter, at);
      return at.map(
        (f, i): Pair => [
          Math.hypot(h.re[i] - row.re[i], h.im[i] - row.im[i]),
          0,
          `${nameOf(row.filter)} at ${f} Hz`,
        ],
      );
    });
    expectAgreement("parametric filters against pyfar", pairs, 1e-5);
  });

  // Winder, Analog and Digital Filter Design, table 3.4: Bessel poles with the level 3 dB down at 1 rad/s. The book
  // calls its factors approximate; they put its poles up to half a per cent off.
  it("Bessel poles of orders 2 and 4 lie where a handbook's table puts them", () => {
    const poles = (n: number) =>
      filterShape({ kind: "bessel", type: "lowpass", order: n, frequency: 1 }).poles;
    const [second] = poles(2);
    const fourth = poles(4);
    expectAgreement(
      "Bessel poles, handbook",
      [
        [-second.re, 1.103],
        [second.im, 0.6368],
        [-fourth[0].re, 0.9877],
        [fourth[0].im, 1.2476],
        [-fourth[2].re, 1.3596],
        [fourth[2].im, 0.4071],
      ],
      0.012,
    );
  });
});

describe("at the crossover", () => {
  it("Butterworth is 3.01 dB down and Linkwitz-Riley 6.02 dB, of every order", () => {
    for (const type of ["lowpass", "highpass"] as const) {
      for (let n = 1; n <= 8; n++) expect(level(butterworth(type, n), 100)).toBeCloseTo(-3.0103, 4);
      for (const n of [2, 4, 8] as const) expect(level(linkwitzRiley(type, n), 100)).toBeCloseTo(-6.0206, 4);
    }
  });

  it("Bessel is 3.01 dB down by magnitude, and by phase within 3 % of half its final phase", () => {
    for (let n = 2; n <= 8; n++) {
      for (const type of ["lowpass", "highpass"] as const) {
        const filter = { kind: "bessel", type, order: n, frequency: 100 } as const;
        expect(level(filter, 100)).toBeCloseTo(-3.0103, 4);
        const corner = phaseAtCorner({ ...filter, normalisation: "phase" });
        expect(Math.abs(corner) / ((n * Math.PI) / 4)).toBeGreaterThan(0.97);
        expect(Math.abs(corner) / ((n * Math.PI) / 4)).toBeLessThan(1.0000001);
        // Far beyond, the level meets that of a Butterworth filter of the same frequency.
        const far = type === "lowpass" ? 2e4 : 0.5;
        const byPhase = level({ ...filter, normalisation: "phase" }, far);
        expect(byPhase).toBeCloseTo(level(butterworth(type, n), far), 2);
      }
    }
  });

  it("Linkwitz-Riley of order 4 and 8 is in phase at every frequency and sums flat", () => {
    const f = logGrid(10, 1000, 50);
    for (const n of [4, 8] as const) {
      const low = filterResponse(linkwitzRiley("lowpass", n), f);
      const high = filterResponse(linkwitzRiley("highpass", n), f);
      f.forEach((_, i) => {
        const cross = low.re[i] * high.im[i] - low.im[i] * high.re[i];
        expect(Math.abs(cross)).toBeLessThan(1e-12);
        expect(low.re[i] * high.re[i] + low.im[i] * high.im[i]).toBeGreaterThan(0);
        expect(Math.hypot(low.re[i] + high.re[i], low.im[i] + high.im[i])).toBeCloseTo(1, 12);
      });
    }
  });

  it("Linkwitz-Riley of order 2 sums flat with one side reversed, and cancels without", () => {
    const f = logGrid(10, 1000, 50);
    const low = filterResponse(linkwitzRiley("lowpass", 2), f);
    const high = filterResponse([linkwitzRiley("highpass", 2), { kind: "polarity", polarity: -1 }], f);
    f.forEach((_, i) => {
      expect(Math.hypot(low.re[i] + high.re[i], low.im[i] + high.im[i])).toBeCloseTo(1, 12);
    });
    const [a, b] = (["lowpass", "highpass"] as const).map((t) => filterResponse(linkwitzRiley(t, 2), [100]));
    expect(Math.hypot(a.re[0] + b.re[0], a.im[0] + b.im[0])).toBeLessThan(1e-12);
  });

  it("Butterworth low- and highpass of the same order keep the power at every frequency", () => {
    fc.assert(
      fc.property(order, frequency, frequency, (n, corner, f) => {
        const low = level(butterworth("lowpass", n, corner), f);
        const high = level(butterworth("highpass", n, corner), f);
        expect(10 ** (low / 10) + 10 ** (high / 10)).toBeCloseTo(1, 10);
      }),
    );
  });

  it("far out the slope is 6.02 dB per octave and order", () => {
    for (let n = 1; n <= 8; n++) {
      for (const kind of ["butterworth", "bessel"] as const) {
        const low = { kind, type: "lowpass", order: n, frequency: 100 } as const;
        expect(level(low, 1e5) - level(low, 2e5)).toBeCloseTo(6.0206 * n, 2);
        const high = { ...low, type: "highpass" } as const;
        expect(level(high, 0.1) - level(high, 0.05)).toBeCloseTo(6.0206 * n, 2);
      }
    }
  });
});

describe("peak, shelf and all-pass", () => {
  // W3C Audio EQ Cookbook: a peak's gain stands at its centre, its width is taken at half the gain in dB; a shelf has
  // half its gain in dB at its frequency.
  it("a peak has its gain at the centre and half of it at the edges that its Q names", () => {
    const peak = { kind: "peak", frequency: 1000, gain: -8, q: 2 } as const;
    expect(level(peak, 1000)).toBeCloseTo(-8, 9);
    // Edges f with f2 − f1 = 500 Hz and f1 f2 = 1000² Hz².
    expect(level(peak, 780.776)).toBeCloseTo(-4, 3);
    expect(level(peak, 1280.776)).toBeCloseTo(-4, 3);
    expect(level(peak, 10)).toBeCloseTo(0, 2);
  });

  it("a shelf has half its gain at its frequency, all of it on one side and none on the other", () => {
    const low = { kind: "low-shelf", frequency: 200, gain: 6, q: 0.7 } as const;
    expect(level(low, 200)).toBeCloseTo(3, 9);
    expect(level(low, 1)).toBeCloseTo(6, 3);
    expect(level(low, 40000)).toBeCloseTo(0, 3);
    const high = { ...low, kind: "high-shelf" } as const;
    expect(level(high, 200)).toBeCloseTo(3, 9);
    expect(level(high, 1)).toBeCloseTo(0, 3);
    expect(level(high, 40000)).toBeCloseTo(6, 3);
  });

  it("a boost and the same cut take each other out", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("peak" as const, "low-shelf" as const, "high-shelf" as const),
        evenly(-18, 18),
        fc.double({ min: 0.2, max: 10, noNaN: true }),
        frequency,
        frequency,
        (kind, gain, q, centre, f) => {
          const a = filterResponse(
            [
              { kind, gain, q, frequency: centre },
              { kind, gain: -gain, q, frequency: centre },
            ],
            [f],
          );
          expect(a.re[0]).toBeCloseTo(1, 9);
          expect(a.im[0]).toBeCloseTo(0, 9);
        },
      ),
    );
  });

  it("an all-pass turns the phase by 90° per order at its frequency and leaves every level alone", () => {
    const first = filterResponse({ kind: "all-pass", order: 1, frequency: 100 }, [100]);
    expect([first.re[0], first.im[0]]).toEqual([expect.closeTo(0, 9), expect.closeTo(-1, 9)]);
    const second = filterResponse({ kind: "all-pass", order: 2, frequency: 100, q: 1.2 }, [100]);
    expect([second.re[0], second.im[0]]).toEqual([expect.closeTo(-1, 9), expect.closeTo(0, 9)]);
    fc.assert(
      fc.property(fc.constantFrom<1 | 2>(1, 2), frequency, frequency, (n, centre, f) => {
        expect(level({ kind: "all-pass", order: n, frequency: centre }, f)).toBeCloseTo(0, 9);
      }),
    );
  });
});

describe("any filter", () => {
  it("has its poles left of the imaginary axis, in conjugate pairs", () => {
    fc.assert(
      fc.property(anyFilter, (filter) => {
        const { poles } = filterShape(filter);
        for (const pole of poles) {
          expect(pole.re).toBeLessThan(0);
          const partner = Math.min(...poles.map((p) => Math.hypot(p.re - pole.re, p.im + pole.im)));
          expect(partner / Math.hypot(pole.re, pole.im)).toBeLessThan(1e-9);
        }
      }),
    );
  });

  it("passes no more energy than it has gain", () => {
    fc.assert(
      fc.property(anyFilter, frequency, (filter, f) => {
        // Shelves and peaks of high Q overshoot their gain by less than their Q in dB.
        const most =
          "gain" in filter ? Math.abs(filter.gain) + 20 * Math.log10(Math.max(1, filter.q)) + 3 : 0;
        return level(filter, f) <= most + 1e-9;
      }),
    );
  });
});

describe("a chain", () => {
  const anyStep: fc.Arbitrary<Processing> = fc.oneof(
    anyFilter,
    fc.record({ kind: fc.constant("delay" as const), delay: evenly(0, 0.05) }),
    fc.record({ kind: fc.constant("polarity" as const), polarity: fc.constantFrom<1 | -1>(1, -1) }),
    fc.record({ kind: fc.constant("gain" as const), gain: evenly(-18, 18) }),
  );

  it("has the product of its parts' responses, in any order", () => {
    fc.assert(
      fc.property(anyStep, anyStep, frequency, (a, b, f) => {
        const [one, other, both, turned] = [a, b, [a, b], [b, a]].map((chain) => {
          const { re, im } = filterResponse(chain, [f]);
          return { re: re[0], im: im[0] };
        });
        const product = times(one, other);
        for (const found of [both, turned]) {
          expect(found.re).toBeCloseTo(product.re, 9);
          expect(found.im).toBeCloseTo(product.im, 9);
        }
      }),
    );
  });
});

describe("poles, zeros and gain", () => {
  it("make up the response: gain · ∏(jω − zero)/∏(jω − pole)", () => {
    fc.assert(
      fc.property(anyFilter, frequency, (filter, f) => {
        const { poles, zeros, gain } = filterShape(filter);
        const omega = f / filter.frequency;
        const from = ({ re, im }: Complex): Complex => ({ re: -re, im: omega - im });
        const { re, im } = filterResponse(filter, [f]);
        // Both sides times the poles' product, in units of a size that no factor exceeds.
        const unit = Math.max(omega, ...[...poles, ...zeros].map((z) => Math.hypot(z.re, z.im)));
        const scaled = (z: Complex) => ({ re: from(z).re / unit, im: from(z).im / unit });
        const left = poles.map(scaled).reduce(times, { re: re[0], im: im[0] });
        const factor = gain * unit ** (zeros.length - poles.length);
        const right = zeros.map(scaled).reduce(times, { re: factor, im: 0 });
        const size = Math.hypot(right.re, right.im) + 1e-12;
        expect(Math.abs(left.re - right.re) / size).toBeLessThan(1e-6);
        expect(Math.abs(left.im - right.im) / size).toBeLessThan(1e-6);
      }),
    );
  });

  // Vieta: the poles of s² + s/q + 1 have the product 1 and the sum −1/q, also where one is a million times the other.
  it("keep their digits where a low Q puts two poles far apart", () => {
    for (const q of [0.4, 0.02, 1e-3]) {
      const { poles } = filterShape({ kind: "all-pass", order: 2, frequency: 100, q });
      expect(poles[0].re * poles[1].re).toBeCloseTo(1, 13);
      expect((poles[0].re + poles[1].re) * -q).toBeCloseTo(1, 13);
    }
  });
});

describe("delay, polarity and gain", () => {
  it("a delay of very many periods keeps the digits of its last turn", () => {
    // 2⁴⁰ whole turns and a quarter: exact in double precision, −j.
    const { re, im } = filterResponse({ kind: "delay", delay: 2 ** 30 + 2 ** -12 }, [1024]);
    expect(re[0]).toBeCloseTo(0, 12);
    expect(im[0]).toBeCloseTo(-1, 12);
  });

  it("a delay turns the phase back by one turn per period", () => {
    const delay = { kind: "delay", delay: 0.0025 } as const;
    const quarter = filterResponse(delay, [100]);
    expect(quarter.re[0]).toBeCloseTo(0, 12);
    expect(quarter.im[0]).toBeCloseTo(-1, 12);
    const whole = filterResponse(delay, [400]);
    expect(whole.re[0]).toBeCloseTo(1, 12);
    expect(whole.im[0]).toBeCloseTo(0, 12);
  });

  it("polarity −1 reverses and 6.02 dB doubles", () => {
    const h = filterResponse(
      [
        { kind: "polarity", polarity: -1 },
        { kind: "gain", gain: 6.0206 },
      ],
      [50, 5000],
    );
    expect(h.re[0]).toBeCloseTo(-2, 4);
    expect(h.re[1]).toBeCloseTo(-2, 4);
    expect(h.im[1]).toBeCloseTo(0, 12);
  });

  it("an empty chain passes everything", () => {
    expect(filterResponse([], [10, 1000])).toEqual({ re: Float64Array.of(1, 1), im: Float64Array.of(0, 0) });
  });
});

describe("settings out of range", () => {
  it("are refused with the value and what was expected", () => {
    const response = (filter: object) => () => filterResponse(filter as Filter, [100]);
    expect(response(butterworth("lowpass", 9))).toThrow(
      "order of the butterworth filter is 9, expected a whole number",
    );
    expect(response({ kind: "linkwitz-riley", type: "lowpass", order: 3, frequency: 100 })).toThrow(
      "expected 2, 4 or 8",
    );
    expect(response(butterworth("lowpass", 4, 0))).toThrow("frequency of the butterworth filter is 0");
    expect(response({ kind: "peak", frequency: 100, gain: 3, q: 0 })).toThrow("q of the peak filter is 0");
    expect(response({ kind: "comb", frequency: 100 })).toThrow('filter kind is "comb"');
    expect(response({ kind: "bessel", type: "bandpass", order: 2, frequency: 100 })).toThrow("bandpass");
  });
});
