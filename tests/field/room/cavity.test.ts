// Reference: chain matrices and a sum over the piston's cells in numpy, see scripts/reference/field_cavity.py.
import { describe, expect, it } from "vitest";
import { quarterWaveFrequencies } from "../../../lib/acoustics/reflection/cavity";
import { modelSurvey } from "../../../lib/field/model-survey";
import { lineImpedance, radiationImpedance } from "../../../lib/field/room/cavity";
import type { Cavity } from "../../../lib/venue/venue";
import { expectAgreement } from "../../acoustics/deviation";
import reference from "../reference/field_cavity.json";
import { at, decibels, source, venue, wall } from "../venues";

const C = reference.speedOfSound;
const waveNumber = (f: number) => (2 * Math.PI * f) / C;

describe.each(reference.cases.map((c, i) => [i, c] as const))("a closed cavity (case %i)", (_, c) => {
  it("has at its mouth the impedance of a chain of short pieces", () => {
    expectAgreement(
      "line impedance",
      reference.frequency.flatMap((f, i) => {
        const z = lineImpedance(waveNumber(f), c.depth, c.absorption);
        return [
          [z.re, c.rows[i][0], `re ${f} Hz`],
          [z.im, c.rows[i][1], `im ${f} Hz`],
        ] as const;
      }),
      2e-5,
    );
  });

  it("feels before it the air as a piston in a baffle does, summed cell by cell", () => {
    expectAgreement(
      "radiation impedance",
      reference.frequency.flatMap((f, i) => {
        const z = radiationImpedance(waveNumber(f), c.width, c.height);
        return [
          [z.re, c.rows[i][2], `re ${f} Hz`],
          [z.im, c.rows[i][3], `im ${f} Hz`],
        ] as const;
      }),
      // The reference extrapolates from 160² and 320² cells.
      2e-3,
    );
  });
});

describe("the opening of a cavity", () => {
  it("pushes the air of an endless plane where it is large against the wavelength", () => {
    const z = radiationImpedance(60, 4, 4);
    expect(Math.abs(z.re - 1)).toBeLessThan(0.02);
    expect(Math.abs(z.im)).toBeLessThan(0.02);
  });

  it("has, small and square, the end correction 0.473 of its side and the resistance k²S/2π", () => {
    // Flanged square piston, 0.4733 √S (Morse and Ingard; from memory).
    const z = radiationImpedance(0.01, 0.8, 0.8);
    expectAgreement("end correction of a square", [[z.im / 0.01 / 0.8, 0.4733]], 5e-4);
    expect(z.re / ((0.01 ** 2 * 0.64) / (2 * Math.PI))).toBeCloseTo(1, 3);
  });

  it("pushes so as well where it is wide and flat", () => {
    const z = radiationImpedance(20, 200, 10);
    expect(Math.abs(z.re - 1)).toBeLessThan(0.02);
    expect(Math.abs(z.im)).toBeLessThan(0.02);
  });

  it("keeps its digits where it is next to nothing against the wavelength", () => {
    const z = radiationImpedance(1e-5, 0.8, 0.8);
    expect(z.im / 1e-5 / 0.8).toBeCloseTo(0.4733, 3);
    expect(z.re / ((1e-5 ** 2 * 0.64) / (2 * Math.PI))).toBeCloseTo(1, 6);
  });

  // Rayleigh's integral over all pairs of points, by their distances along the sides: 4 ∫∫ (a − x)(b − y) f(R) dx dy. What
  // grows with k, sin kR/R and (cos kR − 1)/R, is smooth and summed by midpoints.
  it("follows Rayleigh's integral where it is small", () => {
    const [a, b] = [0.9, 0.4];
    const pairs = (f: (r: number) => number) => {
      const n = 200;
      let sum = 0;
      for (let i = 0; i < n; i++) {
        for (let j = 0; j < n; j++) {
          const [x, y] = [((i + 0.5) * a) / n, ((j + 0.5) * b) / n];
          sum += (a - x) * (b - y) * f(Math.hypot(x, y));
        }
      }
      return ((4 * a * b) / n ** 2) * sum;
    };
    const still = radiationImpedance(1e-4, a, b).im / 1e-4;
    for (const k of [0.3, 0.45, 0.5]) {
      const z = radiationImpedance(k, a, b);
      const scale = 1 / (2 * Math.PI * a * b);
      expect(z.re / k / (scale * pairs((r) => Math.sin(k * r) / r))).toBeCloseTo(1, 5);
      const change = scale * pairs((r) => (Math.cos(k * r) - 1) / r);
      expect((z.im / k - still) / change).toBeCloseTo(1, 3);
    }
  });

  it("resonates at the quarter wave of its depth and end correction", () => {
    const [depth, side] = [4, 0.8];
    // Of the circle with the same area.
    const radius = Math.sqrt((side * side) / Math.PI);
    const expected = quarterWaveFrequencies(depth, C, 120, { radius, end: "flanged" });
    expect(expected.length).toBe(3);
    // Where the reactances of line and air cancel; the line's passes from below 0 to above at each odd quarter wave.
    const reactance = (f: number) =>
      lineImpedance(waveNumber(f), depth, 0.01).im + radiationImpedance(waveNumber(f), side, side).im;
    const crossings: number[] = [];
    for (let f = 5; f < 115; f += 0.05) {
      if (reactance(f) < 0 && reactance(f + 0.05) >= 0 && Math.abs(reactance(f)) < 0.5) crossings.push(f);
    }
    // A tube's own end correction is 3 % below that of a stiff piston, and shrinks at higher frequency.
    expectAgreement(
      "quarter-wave frequency, Hz",
      crossings.map((f, i) => [f, expected[i]]),
      0.03,
      true,
    );
    expect(crossings.length).toBe(3);
  });
});

describe("a stage with a space beneath", () => {
  const cavity: Cavity = {
    name: "under the stage",
    opening: [
      { x: -1, y: 6, z: 0 },
      { x: -1, y: -6, z: 0 },
      { x: -1, y: -6, z: 1.2 },
      { x: -1, y: 6, z: 1.2 },
    ],
    depth: 3,
    absorption: { frequency: [100], value: [0.1] },
  };
  const v = venue({
    // Close before the opening, so that the wall around it has no notch of its own in this range.
    sources: [source({ x: -0.8, y: 0, z: 0.3 })],
    boundaries: [wall("z", 0), wall("x", -1)],
    cavities: [cavity],
  });
  const frequency = Float64Array.from({ length: 141 }, (_, i) => 15 + 0.5 * i);
  const change = [8, 16, 24].map((x) => {
    const position = [at(x, 0, 1.2)];
    const [withIt] = modelSurvey(v, position, { frequency }).subs;
    const [without] = modelSurvey(v, position, { frequency, cavities: false }).subs;
    return frequency.map(
      (_, i) => decibels(withIt.re[i], withIt.im[i]) - decibels(without.re[i], without.im[i]),
    );
  });

  it("takes a bite out of the low end near its quarter wave, at the same frequency from seat to seat", () => {
    const dipBetween = (c: Float64Array, from: number, to: number) => {
      const range = frequency.filter((f) => f >= from && f <= to);
      const values = range.map((f) => c[frequency.indexOf(f)]);
      const least = Math.min(...values);
      expect(least).toBeLessThan(-4);
      return range[values.indexOf(least)];
    };
    // c/4L and 3c/4L are 28.6 and 85.8 Hz; the air before the opening lengthens the cavity.
    const [first, third] = [
      change.map((c) => dipBetween(c, 15, 45)),
      change.map((c) => dipBetween(c, 60, 85)),
    ];
    for (const dip of first) expect(Math.abs(dip - 27)).toBeLessThan(2);
    for (const dip of third) expect(Math.abs(dip - 79)).toBeLessThan(4);
  });

  it("is as a hard wall at the half wave", () => {
    // kL = π at 57.2 Hz: the line's impedance is at its highest.
    const half = frequency.findIndex((f) => f >= C / 6);
    for (const c of change) expect(Math.abs(c[half])).toBeLessThan(0.7);
  });

  it("made of nothing but absorption swallows: as if the wall had a hole", () => {
    const open = { ...cavity, absorption: { frequency: [100], value: [1] } };
    const [swallowed] = modelSurvey({ ...v, cavities: [open] }, [at(12, 0, 1.2)], { frequency }).subs;
    const [hard] = modelSurvey(v, [at(12, 0, 1.2)], { frequency, cavities: false }).subs;
    const [bare] = modelSurvey({ ...v, boundaries: [wall("z", 0)], cavities: [] }, [at(12, 0, 1.2)], {
      frequency,
    }).subs;
    // Between the wall and none, at 70 Hz where the opening is about a wavelength high with its image.
    const i = frequency.length - 1;
    const off = (r: typeof hard) => Math.hypot(swallowed.re[i] - r.re[i], swallowed.im[i] - r.im[i]);
    expect(off(bare)).toBeLessThan(off(hard));
  });
});

// A wave that falls straight on a locally reacting wall of impedance z, in units of ρc, returns as (z − 1)/(z + 1)
// (Kuttruff, Room Acoustics, from memory).
describe("a wide opening at right angles", () => {
  const half = 150;
  const cavity = (absorption: number): Cavity => ({
    name: "wide",
    opening: [
      { x: 0, y: half, z: -half },
      { x: 0, y: -half, z: -half },
      { x: 0, y: -half, z: half },
      { x: 0, y: half, z: half },
    ],
    depth: 1.5,
    absorption: { frequency: [100], value: [absorption] },
  });
  const frequency = Float64Array.of(35, 60, 90, 130);
  /** What comes back over wall and opening, as a factor on the mirror image. */
  const returned = (cavities: Cavity[], boundaries: ReturnType<typeof wall>[]) => {
    const v = venue({ sources: [source({ x: 4, y: 0, z: 0 })], boundaries, cavities });
    const of = (order: number) =>
      modelSurvey(v, [at(6, 0, 0)], { frequency, order, finiteSize: false }).subs[0];
    const [direct, all] = [of(0), of(1)];
    return Array.from(frequency, (f, i) => {
      const unit = 20e-6 * 10 ** (94 / 20);
      const [re, im] = [all.re[i] - direct.re[i], all.im[i] - direct.im[i]];
      // The image lies 10 m away: times 10 e^{+jk·10}.
      const [cos, sin] = [Math.cos(waveNumber(f) * 10), Math.sin(waveNumber(f) * 10)];
      return { re: (10 * (re * cos - im * sin)) / unit, im: (10 * (im * cos + re * sin)) / unit };
    });
  };
  const expected = (f: number, absorption: number, wallFactor: number) => {
    const z = lineImpedance(waveNumber(f), 1.5, absorption);
    // R − (1 + R)/(z + 1); for a hard wall that is (z − 1)/(z + 1).
    const square = (z.re + 1) ** 2 + z.im ** 2;
    return {
      re: wallFactor - ((1 + wallFactor) * (z.re + 1)) / square,
      im: ((1 + wallFactor) * z.im) / square,
    };
  };

  it.each([
    ["alone", [], 1],
    ["in a hard wall", [wall("x", 0)], 1],
    [
      "in a wall that keeps half of the pressure",
      [wall("x", 0, 2000, { frequency: [100], value: [0.75] })],
      0.5,
    ],
  ] as const)("%s reflects as a locally reacting wall", (_, boundaries, wallFactor) => {
    for (const absorption of [0.3, 0.9]) {
      returned([cavity(absorption)], [...boundaries]).forEach(({ re, im }, i) => {
        const e = expected(frequency[i], absorption, wallFactor);
        // The air's load on 300 m by 300 m is nearly that of an endless plane.
        expect(Math.hypot(re - e.re, im - e.im)).toBeLessThan(0.02);
      });
    }
  });
});
