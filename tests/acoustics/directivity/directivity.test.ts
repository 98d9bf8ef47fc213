import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  continuousLine,
  directivityIndex,
  firstOrder,
  lineOfElements,
  rectangularPiston,
} from "../../../lib/acoustics/directivity/directivity";
import { evenly } from "../../evenly";
import { expectAgreement, type Pair } from "../deviation";
import reference from "../reference/acoustics_sources.json";

const waveNumber = (frequency: number, speedOfSound: number) => (2 * Math.PI * frequency) / speedOfSound;
const sine = evenly(-1, 1);

describe("continuous line and piston", () => {
  // Closed forms of sin(x)/x: nulls where length · sine is a whole number of wavelengths.
  it("have nulls where the ends are whole wavelengths apart", () => {
    const k = waveNumber(1000, 340);
    for (const order of [1, 2, 3]) {
      expect(continuousLine(2, k, (order * 0.34) / 2)).toBeCloseTo(0, 12);
      expect(rectangularPiston(2, 0.5, k, (order * 0.34) / 2, 0.3)).toBeCloseTo(0, 12);
      expect(rectangularPiston(0.5, 2, k, 0.3, (order * 0.34) / 2)).toBeCloseTo(0, 12);
    }
  });

  // Handbook antenna theory (Balanis; from memory): half-power width of a long uniform line 50.8° λ/L, first side lobe
  // −13.26 dB.
  it("are 50.8° λ/L wide at −3 dB, and their first side lobe is 13.26 dB down", () => {
    const k = waveNumber(4000, 340);
    const atEdge = Math.sin((((50.8 * 0.085) / 4 / 2) * Math.PI) / 180);
    // The angle has three digits.
    expect(Math.abs(20 * Math.log10(continuousLine(4, k, atEdge)) + 3.0103)).toBeLessThan(0.01);
    let lobe = 0;
    for (let s = 0.085 / 4; s < 0.17 / 4; s += 1e-6) lobe = Math.max(lobe, Math.abs(continuousLine(4, k, s)));
    expect(20 * Math.log10(lobe)).toBeCloseTo(-13.26, 2);
  });

  it("are 1 on axis and never above, and smooth where x is tiny", () => {
    fc.assert(
      fc.property(evenly(0, 500), sine, sine, (k, a, b) => {
        return (
          Math.abs(rectangularPiston(0.7, 0.4, k, a, b)) <= 1 && rectangularPiston(0.7, 0.4, k, 0, 0) === 1
        );
      }),
    );
    const [below, above] = [continuousLine(1, 1, 1.99999e-4), continuousLine(1, 1, 2.00001e-4)];
    expect(Math.abs(below - above)).toBeLessThan(1e-12);
  });
});

describe("line of elements", () => {
  it("is the sum of its elements' phasors", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 24 }),
        fc.double({ min: 0.1, max: 3, noNaN: true }),
        fc.double({ min: 0.1, max: 60, noNaN: true }),
        sine,
        (count, spacing, k, s) => {
          let re = 0;
          for (let n = 0; n < count; n++) re += Math.cos(k * spacing * s * (n - (count - 1) / 2));
          expect(lineOfElements(count, spacing, k, s)).toBeCloseTo(re / count, 9);
        },
      ),
    );
  });

  it("has full grating lobes where neighbours are whole wavelengths apart", () => {
    const k = waveNumber(340, 340);
    expect(lineOfElements(5, 2, k, 0.5)).toBeCloseTo(1, 12);
    // An even number has none in its middle: its two halves are an odd number of half turns away.
    expect(lineOfElements(6, 2, k, 0.5)).toBeCloseTo(-1, 12);
    expect(lineOfElements(6, 2, k, 1 / 12)).toBeCloseTo(0, 12);
  });

  it("keeps its digits right beside each lobe, where its formula is 0 by 0", () => {
    for (const count of [5, 6, 40]) {
      for (const lobe of [0, 1, 2, 3]) {
        for (const off of [-0.9e-4, 1e-6, 0.9e-4]) {
          const half = Math.PI * lobe + off / count;
          let re = 0;
          for (let n = 0; n < count; n++) re += Math.cos(2 * half * (n - (count - 1) / 2));
          expect(lineOfElements(count, 2, half, 1)).toBeCloseTo(re / count, 11);
        }
      }
    }
  });

  it("becomes the continuous line as the elements close up", () => {
    for (const s of [0.05, 0.3, 0.8]) {
      expect(lineOfElements(2000, 3 / 2000, 10, s)).toBeCloseTo(continuousLine(3, 10, s), 5);
    }
    expect(() => lineOfElements(0, 1, 1, 0)).toThrow("number of elements is 0");
    expect(() => lineOfElements(3, 0, 1, 0)).toThrow("spacing is 0");
  });
});

describe("directivity index", () => {
  // Eargle, The Microphone Book (from memory): omni 0, cardioid 4.8, supercardioid 5.7, hypercardioid 6.0, eight 4.8 dB;
  // the cardioid's 4.77 dB is 10 lg 3.
  it("is 4.77 dB for a cardioid, 6.02 for a hypercardioid, 4.77 for a figure of eight, 0 for all round", () => {
    const index = (a: number) => directivityIndex((ahead) => firstOrder(a, ahead));
    expectAgreement(
      "first-order directivity index, dB",
      [
        [index(0), 0],
        [index(0.5), 4.7712],
        [index(0.75), 6.0206],
        [index(1), 4.7712],
        [index(0.634), 5.72],
      ],
      0.005,
    );
    expect(index(0.5)).toBeCloseTo(4.7712, 4);
  });

  // Eargle (from memory): a cardioid is 6 dB down at ±90°, 3 dB down at ±65.5°; a figure of eight 3 dB down at ±45°.
  it("of a cardioid belongs to 6 dB less at 90° and 3 dB less at 65.5°, of a figure of eight to 3 dB less at 45°", () => {
    const level = (a: number, degrees: number) =>
      20 * Math.log10(firstOrder(a, Math.cos((degrees * Math.PI) / 180)));
    expect(level(0.5, 90)).toBeCloseTo(-6.0206, 4);
    expect(level(0.5, 65.53)).toBeCloseTo(-3.0103, 2);
    expect(level(1, 45)).toBeCloseTo(-3.0103, 4);
  });

  it("of a half space is 3.01 dB", () => {
    expect(directivityIndex((ahead) => (ahead > 0 ? 1 : 0))).toBeCloseTo(3.0103, 6);
  });

  // scipy: sine integral for the line, adaptive integration for the piston (scripts/reference/acoustics_sources.py).
  it("of lines and pistons agrees with scipy", () => {
    const lines = reference.line_index.map(
      ([kl, value]): Pair => [
        directivityIndex((_, __, up) => continuousLine(1, kl, up)),
        value,
        `line kL ${kl}`,
      ],
    );
    const pistons = reference.piston_index.map(([w, h, k, value]): Pair => {
      const factor = (ahead: number, across: number, up: number) =>
        ahead > 0 ? rectangularPiston(w, h, k, across, up) : 0;
      return [directivityIndex(factor), value, `piston ${w} × ${h} m k ${k}`];
    });
    const quarters = reference.piston_index.map(([w, h, k, value]): Pair => {
      const factor = (ahead: number, across: number, up: number) =>
        ahead > 0 ? rectangularPiston(w, h, k, across, up) : 0;
      const index = directivityIndex(factor, { azimuth: 32, around: Math.PI / 2 });
      return [index, value, `a quarter of a piston ${w} × ${h} m k ${k}`];
    });
    expectAgreement("directivity index against scipy, dB", [...lines, ...pistons, ...quarters], 1e-6);
  });

  // Handbook aperture theory: directivity factor of an aperture large against the wavelength is 4π area/λ².
  it("of a large piston approaches 4π area/λ²", () => {
    const k = 60;
    const index = directivityIndex(
      (ahead, across, up) => (ahead > 0 ? rectangularPiston(1.5, 1.2, k, across, up) : 0),
      { polar: 600, azimuth: 400 },
    );
    expect(index).toBeCloseTo(10 * Math.log10((4 * Math.PI * 1.8) / ((2 * Math.PI) / k) ** 2), 1);
  });

  it("of silence is refused", () => {
    expect(() => directivityIndex(() => 0)).toThrow("mean square over all directions is 0");
  });
});
