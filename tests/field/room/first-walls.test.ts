import { describe, expect, it } from "vitest";
import { atmosphericAbsorption } from "../../../lib/acoustics/distance/air";
import { firstWalls } from "../../../lib/field/room/first-walls";
import type { Boundary, Source } from "../../../lib/venue/venue";
import { box, source, venue, wall } from "../venues";

/** Some hundred lines for the whole sphere tell a share to a fortieth, 0.1 dB of what is sent back. */
const LINES_APART = 0.025;

const frequency = Float64Array.of(63, 1000, 8000);
const { air } = venue();
/** So small that the air takes nothing on its mean free path. */
const room = { volume: 1e-9, surface: 6, reverberationTime: { frequency: [1000], value: [1] } };

const shares = (boundaries: Boundary[], sources: Source[], fractions = [1], in_ = room) => {
  const { reflected, missed } = firstWalls({ boundaries, air }, in_, sources, fractions, frequency);
  return { reflected: Array.from(reflected), missed: Array.from(missed) };
};
const middle = { x: 5, y: 5, z: 5 };
const faces = { west: 0, east: 1, south: 1, north: 1, floor: 1, ceiling: 1 };

describe("what the first walls leave", () => {
  it("of a source in the middle of a cube is a sixth of what each face keeps", () => {
    const cube = box([10, 10, 10], {
      west: 0.1,
      east: 0.2,
      south: 0.3,
      north: 0.4,
      floor: 0.9,
      ceiling: 0.5,
    });
    const { reflected, missed } = shares(cube, [source(middle)]);
    for (const x of reflected) expect(x).toBeCloseTo(1 - 2.4 / 6, 1);
    for (const x of missed) expect(x).toBeCloseTo(0, 9);
  });

  it("goes by the solid angle of a wall: 4 arctan(a²/(h √(2a² + h²))) of a square 2a wide at h", () => {
    for (const [a, h] of [
      [3, 3],
      [6, 2],
    ]) {
      const { reflected, missed } = shares([wall("x", h, a)], [source({ x: 0, y: 0, z: 0 })]);
      const part = Math.atan((a * a) / (h * Math.sqrt(2 * a * a + h * h))) / Math.PI;
      expect(Math.abs(reflected[1] - part)).toBeLessThan(LINES_APART);
      expect(reflected[1] + missed[1]).toBeCloseTo(1, 9);
    }
  });

  it("is seven eighths of a cardioid before a wall as wide as half the sphere", () => {
    // ∫ (1 + cos θ)² over the front half, over that of the whole: (8 − 1)/8.
    const cardioid = source({ x: 0, y: 0, z: 0 }, { pattern: { kind: "first-order", a: 0.5 } });
    expect(Math.abs(shares([wall("x", 0.01)], [cardioid]).reflected[1] - 7 / 8)).toBeLessThan(LINES_APART);
  });

  it("is all that the wall keeps where a loudspeaker aims at it, and goes past a wall behind it", () => {
    const beam = source(middle, { pattern: { kind: "piston", width: 1, height: 1, rear: 40 } });
    const hard = box([10, 10, 10], { ...faces, east: 0.25 });
    expect(shares(hard, [beam]).reflected[2]).toBeCloseTo(0.75, 1);
    const turned = { ...beam, axis: { x: -1, y: 0, z: 0 } };
    expect(shares(hard, [turned]).reflected[2]).toBeCloseTo(1, 1);
  });

  it("meets the nearer of two walls", () => {
    const both = [wall("x", 8, 2000), wall("x", 4, 2000, { frequency: [1000], value: [1] })];
    const { reflected, missed } = shares(both, [source({ x: 0, y: 0, z: 0 })]);
    expect(reflected[1]).toBeCloseTo(0, 9);
    expect(Math.abs(missed[1] - 0.5)).toBeLessThan(LINES_APART);
  });

  it("adds sources by their part of the power", () => {
    const walls = [wall("x", 4, 4000)];
    const ahead = source({ x: 0, y: 0, z: 0 }, { pattern: { kind: "first-order", a: 0.5 } });
    const away = { ...ahead, axis: { x: -1, y: 0, z: 0 } };
    const { reflected } = shares(walls, [ahead, away], [0.75, 0.25]);
    expect(Math.abs(reflected[1] - (0.75 * 7 + 0.25 * 1) / 8)).toBeLessThan(LINES_APART);
  });

  it("loses on a mean free path of 4V/S what the air takes", () => {
    const cube = box([10, 10, 10], { west: 0, east: 0, south: 0, north: 0, floor: 0, ceiling: 0 });
    const large = { ...room, volume: 1000, surface: 40 };
    const { reflected } = shares(cube, [source(middle)], [1], large);
    reflected.forEach((x, f) => {
      expect(10 * Math.log10(x)).toBeCloseTo(-100 * atmosphericAbsorption(frequency[f], air), 6);
    });
  });
});
