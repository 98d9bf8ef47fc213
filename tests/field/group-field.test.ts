import { describe, expect, it } from "vitest";
import { chainField, type GroupFieldOptions, groupField } from "../../lib/field/group-field";
import { at, source, venue, wall } from "./venues";

const options: GroupFieldOptions = {
  frequency: Float64Array.from({ length: 64 }, (_, i) => 20 * 1.08 ** i),
  order: 2,
  finiteSize: false,
  obstruction: false,
  cavities: false,
};
const keeping = (part: number) => ({ frequency: [100], value: [1 - part ** 2] });
const subs = [source({ x: 3, y: 1, z: 2 }), source({ x: 5, y: -2, z: 0.5 }, { gain: -3, delay: 0.004 })];
// A floor that keeps half of the pressure, and a wall that keeps a fifth.
const hall = venue({
  sources: subs,
  boundaries: [wall("z", 0, 2000, keeping(0.5)), wall("x", 0, 2000, keeping(0.2))],
});

describe("the field of a group", () => {
  it("is the sum over chains of walls, each by what its walls keep", () => {
    const whole = groupField(hall, subs, options);
    const { chains, walls, at: apart } = chainField(hall, subs, options);
    expect(walls.map((w) => w.name)).toEqual(["z = 0", "x = 0"]);
    expect(chains.map((c) => c.chain)).toEqual(["", "0", "1", "0 1", "1 0"]);
    const kept = [1, 0.5, 0.2, 0.1, 0.1];
    for (const { point } of [at(8, 0, 1.2), at(2, 7, 3), at(20, -4, 1.7)]) {
      const re = new Float64Array(64);
      const im = new Float64Array(64);
      const heard: number[] = [];
      apart(point, (chain, a, b) => {
        heard.push(chain);
        for (let f = 0; f < a.length; f++) {
          re[f] += kept[chain] * a[f];
          im[f] += kept[chain] * b[f];
        }
      });
      // A corner of right angles is one image, seen by one chain or the other for each source.
      expect(heard.slice(0, 3)).toEqual([0, 1, 2]);
      const all = whole(point);
      expect(all.re.length).toBe(64);
      for (let f = 0; f < 64; f++) {
        expect(Math.abs(all.re[f] - re[f])).toBeLessThan(1e-6);
        expect(Math.abs(all.im[f] - im[f])).toBeLessThan(1e-6);
      }
    }
  });

  it("tells of no chain that is not heard: behind the wall no reflection from its front", () => {
    const told: number[] = [];
    chainField(hall, subs, options).at({ x: -4, y: 0, z: 1 }, (chain) => told.push(chain));
    expect(told).toEqual([0, 1]);
  });

  it("has direct sound at all frequencies and reflections up to where a lowpass is 120 dB down, in eights", () => {
    // Butterworth of order 8 at 50 Hz: 120 dB down at 281 Hz, the 35th frequency.
    const lowpass = { kind: "butterworth", order: 8, type: "lowpass", frequency: 50 } as const;
    const low = [source({ x: 3, y: 0, z: 2 }, { filters: [lowpass] })];
    const counts: number[][] = [];
    chainField(hall, low, options).at({ x: 8, y: 0, z: 1 }, (chain, re, im) =>
      counts.push([Math.min(chain, 1), re.length, im.length]),
    );
    expect(counts.length).toBe(4);
    expect(counts).toEqual([[0, 64, 64], ...counts.slice(1).map(() => [1, 40, 40])]);
    // Where reflections are left out, it is as in free field.
    const position = { x: 8, y: 0, z: 1 };
    const [there, free] = [hall, { ...hall, boundaries: [] }].map((v) =>
      groupField(v, low, options)(position),
    );
    expect([there.re[63], there.im[63]]).toEqual([free.re[63], free.im[63]]);
    expect(Math.hypot(free.re[63], free.im[63])).toBeGreaterThan(0);
    // And however loud it is.
    chainField(hall, [{ ...low[0], gain: 60 }], options).at(position, (chain, re) => {
      expect(re.length).toBe(chain === 0 ? 64 : 40);
    });
  });

  it("turns back by 2πf r/c, and is shadowed where told so", () => {
    // 343.2 m/s at 20 °C (ISO 9613-1): at 50 Hz a quarter of a wavelength is 1.716 m.
    const one = [source({ x: 3, y: 0, z: 2000 })];
    const at50 = { ...options, frequency: Float64Array.of(50), order: 0 };
    const { re, im } = groupField(venue(), one, at50)({ x: 3 + 1.716, y: 0, z: 2000 });
    expect((Math.atan2(im[0], re[0]) * 180) / Math.PI).toBeCloseTo(-90, 1);
    // A line of sight past the edge of a large wall, 5 m from either: half of the wave front, and the second wave of the hard edge
    // beside it. Macdonald's half plane has 0.6065 there, the line integral 0.6064 (scripts/reference/field_hard_edge.py).
    const behind = (obstruction: boolean) => {
      const half = groupField(venue({ boundaries: [wall("x", 8)] }), one, { ...at50, obstruction });
      const { re, im } = half({ x: 13, y: 0, z: 2000 });
      return Math.hypot(re[0], im[0]);
    };
    expect(behind(true) / behind(false)).toBeCloseTo(0.6065, 2);
  });

  it("of no source is silence", () => {
    const { re, im } = groupField(hall, [], options)({ x: 8, y: 0, z: 1 });
    expect([...re, ...im].every((x) => x === 0)).toBe(true);
    expect(chainField(hall, [], options).chains).toEqual([]);
  });
});
