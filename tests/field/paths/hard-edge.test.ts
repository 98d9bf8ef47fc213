// Reference: Macdonald's half plane and the line integral of Svensson, Fred and Vanderkooy, see scripts/reference/field_hard_edge.py.
import { describe, expect, it } from "vitest";
import { applyFiniteSize, type Crossing, obstruction } from "../../../lib/field/paths/finite-size";
import { expectAgreement } from "../../acoustics/deviation";
import reference from "../reference/field_hard_edge.json";

const root = Float64Array.from(reference.frequency, (f) => Math.sqrt(f / reference.speedOfSound));
const PLANE = { fromU: 0, toU: Infinity, fromV: -Infinity, toV: Infinity };

/** The way from a source to a place, in cylindrical coordinates about the edge, through the screen's plane. */
function crossing([rs, phis, rr, phir, z]: readonly number[]): Crossing {
  const on = (r: number, degrees: number) => {
    const angle = (degrees * Math.PI) / 180;
    return { u: r * Math.cos(angle), h: r * Math.sin(angle) };
  };
  const [a, b] = [on(rs, phis), on(rr, phir)];
  const part = a.h / (a.h - b.h);
  const whole = Math.hypot(b.u - a.u, b.h - a.h, z);
  return {
    u: a.u + part * (b.u - a.u),
    v: part * z,
    before: part * whole,
    after: (1 - part) * whole,
    cosU: (b.u - a.u) / whole,
    cosV: z / whole,
  };
}

/** What is left behind a half plane: both waves, or the first alone as Kirchhoff has it. */
function behind(at: readonly number[], hard = true, extent = PLANE) {
  const o = obstruction(crossing(at), extent);
  // One frequency at a time: near v = 4 the field changes over to the asymptote in steps of four.
  const each = Array.from(root, (r) => {
    const [re, im] = [Float64Array.of(1), new Float64Array(1)];
    applyFiniteSize(re, im, 0, o.detours, Float64Array.of(r), "in shadow", hard ? o : undefined);
    return [re[0], im[0]] as const;
  });
  return { re: each.map(([x]) => x), im: each.map(([, y]) => y) };
}

const level = (re: number, im: number) => 10 * Math.log10(re * re + im * im);
type Rows = typeof reference.halfPlane;

/** Model less reference, dB, of all cases and frequencies. */
function errors(rows: Rows, hard = true): [number, number, string][] {
  return rows.flatMap(({ case: at, values }) => {
    const { re, im } = behind(at, hard);
    return values.map(([x, y], f): [number, number, string] => [
      level(re[f], im[f]) - level(x, y),
      0,
      `${at.join()} at ${reference.frequency[f]} Hz`,
    ]);
  });
}

describe("behind a rigid half plane", () => {
  it("two independent references agree", () => {
    reference.halfPlane.forEach(({ values }, i) => {
      values.forEach(([x, y], f) => {
        const [a, b] = reference.halfPlaneByLine[i].values[f];
        expect(Math.hypot(x - a, y - b)).toBeLessThan(2e-4 * Math.hypot(x, y) + 2e-6);
      });
    });
  });

  it("the level is that of Macdonald's solution; the first wave alone is up to 4.1 dB too low", () => {
    expectAgreement("half plane, dB", errors(reference.halfPlane), 0.2);
    const alone = errors(reference.halfPlane, false).map(([x]) => x);
    expect(Math.min(...alone)).toBeCloseTo(-4.1, 1);
  });

  it("the phase is within 4 degrees of it", () => {
    for (const { case: at, values } of reference.halfPlane) {
      const { re, im } = behind(at);
      values.forEach(([x, y], f) => {
        const turn = Math.atan2(im[f] * x - re[f] * y, re[f] * x + im[f] * y);
        expect(Math.abs((turn * 180) / Math.PI)).toBeLessThan(4);
      });
    }
  });
});

describe("behind a corner of 90 degrees", () => {
  it("a half plane in the face on the source's side is up to 4.9 dB too low, where the first wave alone is up to 7.7", () => {
    expectAgreement("corner as a half plane, dB", errors(reference.corner), 5);
    expect(Math.max(...errors(reference.corner).map(([x]) => x))).toBeLessThan(0);
  });
});

describe("a strip", () => {
  it("narrow against the wavelength has no second wave, and a wide one that of each edge", () => {
    const at = [6, 90, 8, 275, 0];
    const both = (w: number) => behind(at, true, { ...PLANE, toU: w });
    const narrow = both(0.02);
    expect(Math.abs(level(narrow.re[0], narrow.im[0]))).toBeLessThan(0.3);
    const [wide, endless] = [both(4000), behind(at)];
    root.forEach((_, f) => {
      expect(Math.abs(level(wide.re[f], wide.im[f]) - level(endless.re[f], endless.im[f]))).toBeLessThan(0.4);
    });
  });
});
