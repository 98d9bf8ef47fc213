import { describe, expect, it } from "vitest";
import { referencePressure } from "../../../lib/acoustics/level/decibel";
import { rectangle } from "../../../lib/field/paths/rectangle";
import { emission } from "../../../lib/field/room/emission";
import type { Source } from "../../../lib/venue/venue";
import { source, wall } from "../venues";

const C = 340;
const frequency = Float64Array.of(20, 34, 68, 85, 170);
/** Power of one source of 94 dB alone. */
const one = (referencePressure * 10 ** (94 / 20)) ** 2;
const floor = (at: number, absorption: number) => {
  const { corners } = wall("z", at);
  return { rectangle: rectangle(corners), absorption: { frequency: [100], value: [absorption] } };
};
const sinc = (x: number) => (x === 0 ? 1 : Math.sin(x) / x);
const at = (y: number, more: Partial<Source> = {}) => source({ x: 0, y, z: 0 }, more);

/** Powers in units of one source's. */
const powers = (...args: [Source[], ReturnType<typeof floor>[]?]) =>
  Array.from(emission(args[0], args[1] ?? [], frequency, C).power, (x) => x / one);

function expectClose(a: readonly number[], expected: (k: number) => number): void {
  a.forEach((x, i) => {
    expect(x).toBeCloseTo(expected((2 * Math.PI * frequency[i]) / C), 6);
  });
}

// Power of two monopoles a and b at a distance d: a² + b² + 2ab sin(kd)/(kd) (Waterhouse 1958; every text on sources).
describe("power that sources give to the room", () => {
  it("is that of the mutual impedance of two, alike and in opposition", () => {
    for (const d of [0, 0.7, 3]) {
      expectClose(powers([at(0), at(d)]), (k) => 2 + 2 * sinc(k * d));
      expectClose(powers([at(0), at(d, { polarity: -1 })]), (k) => 2 - 2 * sinc(k * d));
      expectClose(powers([at(0), at(d, { gain: 20 * Math.log10(3) })]), (k) => 10 + 6 * sinc(k * d));
    }
  });

  it("counts of two in quadrature no mutual power: the delay is a quarter period at 85 Hz", () => {
    expect(powers([at(0), at(0.5, { delay: 1 / 340 })])[3]).toBeCloseTo(2, 6);
  });

  it("is n² times one's where n stand together, and n times where they stand far apart", () => {
    expectClose(powers([at(0), at(0), at(0)]), () => 9);
    expectClose(powers([at(0), at(200), at(-300)]), () => 3);
  });

  it("grows before a wall by its image's part, √(1 − α) sin(2kh)/(2kh)", () => {
    for (const [h, absorption] of [
      [0, 0],
      [1, 0],
      [1, 0.75],
    ]) {
      expectClose(
        powers([at(0)], [floor(-h, absorption)]),
        (k) => 1 + Math.sqrt(1 - absorption) * sinc(2 * k * h),
      );
    }
  });

  it("adds for two sources before a wall each one's image to the other as well", () => {
    const [d, h] = [1.5, 0.8];
    expectClose(
      powers([at(0), at(d)], [floor(-h, 0)]),
      (k) => 2 + 2 * sinc(k * d) + 2 * sinc(2 * k * h) + 2 * sinc(k * Math.hypot(d, 2 * h)),
    );
  });

  it("of a cardioid is a third, of a piston large against the wavelength λ²/(4π area): its directivity", () => {
    expectClose(powers([at(0, { pattern: { kind: "first-order", a: 0.5 } })]), () => 1 / 3);
    // A delay of all changes nothing.
    expectClose(powers([at(0, { pattern: { kind: "first-order", a: 0.5 }, delay: 0.003 })]), () => 1 / 3);
    const piston = { kind: "piston", width: 1, height: 1, rear: 40 } as const;
    const [low, high] = [20, 3400].map(
      (f) => emission([at(0, { pattern: piston })], [], Float64Array.of(f), C).power[0] / one,
    );
    expect(10 * Math.log10(low)).toBeCloseTo(0, 0);
    expect(10 * Math.log10(high)).toBeCloseTo(10 * Math.log10(0.1 ** 2 / (4 * Math.PI)), 0);
  });

  it("is never negative, and comes from each place by its share", () => {
    const louder = at(9, { gain: 20 * Math.log10(2), delay: 0.004 });
    const { power, positions } = emission([at(0), louder], [], frequency, C);
    expect(positions.map(({ fraction }) => Math.round(fraction * 1e9) / 1e9)).toEqual([0.2, 0.8]);
    expect(positions.map(({ point }) => point.y)).toEqual([0, 9]);
    expect(power.length).toBe(frequency.length);
    for (const x of powers([at(0), at(0, { polarity: -1 })])) expect(x).toBe(0);
    expect(emission([], [], frequency, C)).toEqual({ power: new Float64Array(5), positions: [] });
  });
});
