// Reference: scipy.special.fresnel and Kirchhoff's integral by brute force, see scripts/reference/field_finite_size.py.
import { describe, expect, it } from "vitest";
import { applyFiniteSize, detours } from "../../../lib/field/paths/finite-size";
import { addEdge } from "../../../lib/field/paths/fresnel";
import { expectAgreement } from "../../acoustics/deviation";
import reference from "../reference/field_finite_size.json";

const roots = (frequency: readonly number[]) =>
  Float64Array.from(frequency, (f) => Math.sqrt(f / reference.speedOfSound));

function factor(
  width: number,
  height: number,
  hit: readonly number[],
  angle: number,
  before: number,
  after: number,
  frequency: readonly number[],
  act: "reflected" | "in shadow" = "reflected",
) {
  const re = new Float64Array(frequency.length).fill(1);
  const im = new Float64Array(frequency.length);
  const crossing = { u: hit[0], v: hit[1], before, after, cosU: Math.sin(angle), cosV: 0 };
  const d = detours(crossing, { fromU: 0, toU: width, fromV: 0, toV: height });
  applyFiniteSize(re, im, 0, d, roots(frequency), act);
  return { re, im, magnitude: re.map((x, i) => Math.hypot(x, im[i])) };
}

describe("the Fresnel integral", () => {
  // Abramowitz and Stegun, table 7.7 (from memory): x, C, S; then scipy.special.fresnel.
  it.each([
    [0.5, 0.4923442, 0.0647324],
    [1, 0.7798934, 0.4382591],
    [2, 0.4882534, 0.3434157],
    [4, 0.498426, 0.4205158],
    ...reference.fresnel,
  ])("at %f agrees with table and library", (x, c, s) => {
    const [re, im] = [new Float64Array(1), new Float64Array(1)];
    addEdge(x, 1, Float64Array.of(1), 1, re, im);
    // What the edge takes is ½ − (1 + j)/2 · (C − jS), so C − jS = (1 − j)(½ − E).
    expectAgreement(
      "Fresnel integrals",
      [
        [0.5 - re[0] - im[0], c, "C"],
        [0.5 - re[0] + im[0], s, "S"],
      ],
      1e-5,
    );
  });
});

describe("reflection from a finite rectangle", () => {
  it.each(reference.cases.map((c, i) => [i, c] as const))(
    "has the magnitude of Rindel's K (case %i)",
    (_, c) => {
      const { magnitude } = factor(c.width, c.height, c.hit, c.angle, c.before, c.after, reference.frequency);
      // The detour is exact here and of second order there: it shows where the panel is not small against the distance.
      expectAgreement(
        "Rindel's K",
        c.rindel.map((k, i) => [magnitude[i], k, `${reference.frequency[i]} Hz`]),
        0.08,
      );
    },
  );

  it.each(reference.cases.map((c, i) => [i, c] as const))(
    "agrees with Kirchhoff's integral in magnitude and phase (case %i)",
    (_, c) => {
      const { re, im } = factor(c.width, c.height, c.hit, c.angle, c.before, c.after, reference.frequency);
      expectAgreement(
        "Kirchhoff's integral",
        c.kirchhoff.map(([x, y], i) => [Math.hypot(re[i] - x, im[i] - y), 0, `${reference.frequency[i]} Hz`]),
        0.03,
      );
    },
  );

  it("of a panel large against the Fresnel zone is that of an endless plane, within the ripple of its edges", () => {
    const { magnitude } = factor(40, 40, [20, 20], 0.3, 10, 12, [500, 4000]);
    for (const m of magnitude) expect(Math.abs(20 * Math.log10(m))).toBeLessThan(0.5);
  });

  it("of a small panel falls by 6 dB per halving of frequency, and to a half on the line of an edge", () => {
    const small = factor(0.4, 0.4, [0.2, 0.2], 0, 10, 10, [100, 200]).magnitude;
    expect(20 * Math.log10(small[1] / small[0])).toBeCloseTo(6.02, 1);
    const edge = factor(60, 60, [0, 30], 0, 6, 6, [1000]).magnitude[0];
    expect(20 * Math.log10(edge)).toBeCloseTo(-6.02, 0);
  });

  it("leaves to an obstruction what it does not reflect: −6 dB at the knife edge, more deeper in the shadow", () => {
    // Knife edge: −6 dB on the line, about −14 dB at v = 1.0 (from memory of the curve in ITU-R P.526: J(1) = 13.9 dB).
    const before = 20;
    const frequency = reference.speedOfSound / 0.05;
    const depth = Math.sqrt((0.05 * before) / 4);
    const behind = (e: number) =>
      factor(2e4, 1e4, [e, 5e3], 0, before, before, [frequency], "in shadow").magnitude[0];
    const level = (e: number) => 20 * Math.log10(behind(e));
    expectAgreement(
      "knife edge, dB",
      [
        [level(0), -6.02, "v = 0"],
        [level(depth), -13.9, "v = 1"],
      ],
      0.3,
    );
    // Deep in the shadow 13 + 20 lg v dB (the asymptote of the same curve), on either side of where the computation changes over.
    for (const v of [3.9, 4.1, 12]) expect(level(v * depth)).toBeCloseTo(-(13 + 20 * Math.log10(v)), 0);
    expect(20 * Math.log10(behind(-100))).toBeCloseTo(0, 0);
  });
});
