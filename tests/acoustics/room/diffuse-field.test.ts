import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { barronRevised, criticalDistance } from "../../../lib/acoustics/room/diffuse-field";
import { absorptionAreaOfReverberation } from "../../../lib/acoustics/room/reverberation";

const volume = fc.double({ min: 50, max: 50000, noNaN: true });
const seconds = fc.double({ min: 0.2, max: 8, noNaN: true });

describe("direct sound and diffuse field", () => {
  // Common form in handbooks: r = 0.057 (Q V/T)^½ metres (Kuttruff; Vigran, Building Acoustics; from memory).
  it("are as strong at 0.057 √(QV/T)", () => {
    for (const [v, t, q] of [
      [2000, 1, 1],
      [12000, 1.8, 10],
      [300, 0.5, 2],
    ]) {
      const area = absorptionAreaOfReverberation(v, t);
      const distance = criticalDistance(area, q);
      expect(distance / Math.sqrt((q * v) / t)).toBeCloseTo(0.057, 3);
    }
    expect(() => criticalDistance(0)).toThrow("absorption area is 0");
  });
});

describe("Barron's revised theory", () => {
  // Barron and Lee (1988): total level re 10 m is 10 lg(100/r² + 31200 (T/V) e^{-0.04 r/T}). Here the reflected energy is
  // summed as in the derivation, by integrating an exponential decay that starts with the direct sound.
  it("is the energy of an exponential decay from the arrival of the direct sound on, parted at 80 ms", () => {
    for (const [r, v, t] of [
      [10, 12000, 1.8],
      [35, 20000, 2.2],
      [15, 3000, 1.0],
    ]) {
      const field = barronRevised(r, v, t);
      // All power W fills V with the density W/V per second, on average; the direct sound at 1 m has W/(4π c).
      let early = 0;
      let late = 0;
      const step = 1e-4;
      for (let s = r / 340 + step / 2; s < 3 * t; s += step) {
        const energy = ((4 * Math.PI * 340) / v) * 10 ** ((-6 * s) / t) * step;
        if (s - r / 340 < 0.08) early += energy;
        else late += energy;
      }
      expect(field.early / early).toBeCloseTo(1, 3);
      expect(field.late / late).toBeCloseTo(1, 3);
      expect(field.early + field.late).toBeCloseTo(field.diffuse, 12);
      // The paper's rounded constants.
      const paper = 312 * (t / v) * Math.exp((-0.04 * r) / t);
      expect(field.diffuse / paper).toBeCloseTo(1, 1);
      expect(Math.abs(10 * Math.log10(field.diffuse / paper))).toBeLessThan(0.15);
    }
  });

  it("has the direct sound of a point source: 1/r² of that at 1 m, times the directivity factor", () => {
    expect(barronRevised(10, 5000, 2).direct).toBeCloseTo(0.01, 12);
    expect(barronRevised(4, 5000, 2, { directivityFactor: 8 }).direct).toBeCloseTo(0.5, 12);
  });

  // Particles of energy cross a room with scattering walls, each wall taking its share. The path that they travel after
  // their first reflection, per volume, is the energy that is left of the field once a wall has taken its share; that of 1 m² through which all of the direct sound passes at 1 m is 1/4π. The
  // reverberation time is Sabine's, 24 ln 10 V/(c S α).
  it("at the source it is what particles leave behind that scatter about a room until they are absorbed", () => {
    const random = generator(5);
    const sides = [9, 6, 4];
    const [volume, surface] = [9 * 6 * 4, 2 * (9 * 6 + 6 * 4 + 9 * 4)];
    for (const absorption of [0.15, 0.4]) {
      const diffuse = (4 * Math.PI * meanPathAfterFirstReflection(sides, absorption, 20000, random)) / volume;
      const time = (24 * Math.LN10 * volume) / (340 * surface * absorption);
      const expected = (1 - absorption) * barronRevised(1e-6, volume, time).diffuse;
      expect(Math.abs(10 * Math.log10(diffuse / expected))).toBeLessThan(0.1);
    }
  });

  it("at the source it equals the classical diffuse field, and falls from there with distance", () => {
    fc.assert(
      fc.property(volume, seconds, fc.double({ min: 1, max: 60, noNaN: true }), (v, t, r) => {
        const area = absorptionAreaOfReverberation(v, t, 340);
        const classical = (16 * Math.PI) / area;
        const near = barronRevised(1e-6, v, t).diffuse;
        expect(near / classical).toBeCloseTo(1, 6);
        // 60 dB in the way that sound goes in the reverberation time.
        const fall = 10 * Math.log10(near / barronRevised(r, v, t).diffuse);
        expect(fall).toBeCloseTo((60 * r) / (340 * t), 4);
      }),
    );
  });
});

/** Random numbers 0…1 that are the same on every run. */
function generator(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Mean length that particles travel in a box after their first reflection, until a wall absorbs them, metres. */
function meanPathAfterFirstReflection(
  sides: readonly number[],
  absorption: number,
  particles: number,
  random: () => number,
): number {
  let total = 0;
  for (let n = 0; n < particles; n++) {
    const position = sides.map((side) => side * random());
    let direction = isotropic(random);
    for (let reflections = 0; ; reflections++) {
      const times = direction.map((d, i) => ((d > 0 ? sides[i] : 0) - position[i]) / d);
      const step = Math.min(...times);
      const wall = times.indexOf(step);
      if (reflections > 0) total += step;
      for (let i = 0; i < 3; i++) position[i] += step * direction[i];
      if (random() < absorption) break;
      direction = scattered(wall, -Math.sign(direction[wall]), random);
    }
  }
  return total / particles;
}

function isotropic(random: () => number): number[] {
  const up = 2 * random() - 1;
  const angle = 2 * Math.PI * random();
  const aside = Math.sqrt(1 - up * up);
  return [aside * Math.cos(angle), aside * Math.sin(angle), up];
}

/** Direction off a wall by Lambert's law. */
function scattered(axis: number, inward: number, random: () => number): number[] {
  const aside = Math.sqrt(random());
  const angle = 2 * Math.PI * random();
  const direction = [0, 0, 0];
  direction[axis] = inward * Math.sqrt(1 - aside * aside);
  direction[(axis + 1) % 3] = aside * Math.cos(angle);
  direction[(axis + 2) % 3] = aside * Math.sin(angle);
  return direction;
}
