// What a path does to the sound on its way, by hand: a source of 1 at 1 m, walls of round factors, an edge met exactly (one half).
import { describe, expect, it } from "vitest";
import type { Pattern } from "../../../lib/acoustics/directivity/pattern";
import { plainWeightedPathSum } from "../../../lib/field/path-sum/plain";
import { airNepers, chainFactors, pathAdder } from "../../../lib/field/path-sum/weights";
import type { Detours, Obstruction } from "../../../lib/field/paths/finite-size";
import type { Hit, Image } from "../../../lib/field/paths/images";
import type { Path } from "../../../lib/field/paths/paths";
import { rectangle } from "../../../lib/field/paths/rectangle";
import type { Side, Wall } from "../../../lib/field/paths/walls";
import type { Cavity } from "../../../lib/venue/venue";

type Joined = Side["joined"];

const FREE: Joined = [false, false, false, false];
const ENDLESS = { fromU: -Infinity, toU: Infinity, fromV: -Infinity, toV: Infinity };
const side = (joined: Joined): Side => ({ extent: ENDLESS, joined });
const absorbing = (value: number) => ({ frequency: [100], value: [value] });

const image: Image = {
  point: { x: 0, y: 0, z: 0 },
  axis: { x: 1, y: 0, z: 0 },
  up: { x: 0, y: 0, z: 1 },
  wall: -1,
  height: 0,
  order: 0,
  chain: "",
};

/** A wall of 0.8 m by 0.5 m, which takes all that it is met by. */
function wall(more: Partial<Wall> = {}): Wall {
  const corners = [
    { x: 0, y: 0.8, z: 0 },
    { x: 0, y: 0, z: 0 },
    { x: 0, y: 0, z: 0.5 },
    { x: 0, y: 0.8, z: 0.5 },
  ] as const;
  return {
    name: "wall",
    rectangle: rectangle(corners),
    absorption: absorbing(1),
    above: side(FREE),
    below: side(FREE),
    ...more,
  };
}

function opening(depth: number, more: Partial<Wall> = {}): Wall {
  const cavity: Cavity = {
    name: "opening",
    opening: [image.point, image.point, image.point, image.point],
    depth,
    absorption: absorbing(1),
  };
  return wall({ cavity, ...more });
}

const hit = (wall: number, cosine = 1): Hit => ({
  wall,
  point: { x: 0, y: 0, z: 0 },
  above: true,
  cosine,
  u: 0,
  v: 0,
  before: 1,
  after: 1,
  cosU: 0,
  cosV: 0,
});

interface Setting {
  readonly path?: Partial<Path>;
  readonly walls?: readonly Wall[];
  readonly pattern?: Pattern;
  readonly position?: Image["point"];
  /** Of the source, at every frequency. */
  readonly sent?: { readonly re: number; readonly im: number };
  readonly frequencies?: number;
}

/** Weights and sums that one path makes, at wave numbers of a sixteenth to one per metre. */
function added(k: readonly number[], setting: Setting = {}) {
  const { path, walls = [], pattern = { kind: "omni" }, position = image.axis, sent } = setting;
  const waveNumber = Float64Array.from(k);
  const { re = 1, im = 0 } = sent ?? {};
  const drive = { re: waveNumber.map(() => re), im: waveNumber.map(() => im) };
  const nepers = waveNumber.map(() => 0);
  const sum = plainWeightedPathSum({ sources: [{ pattern, drive }], waveNumber, nepers });
  const frequency = waveNumber.map((x) => x * 55);
  const whole = { image, length: 1, hits: [], edges: [], obstructions: [], ...path };
  pathAdder(sum, walls, frequency, waveNumber)(whole, 0, position, 0, setting.frequencies ?? k.length);
  return sum;
}

const weight = (setting: Setting, k = 0.02) => {
  const { weightRe, weightIm } = added([k], setting);
  return { re: weightRe[0], im: weightIm[0] };
};
const inverse = ({ re, im }: { re: number; im: number }) => {
  const square = re * re + im * im;
  return { re: re / square, im: -im / square };
};

/** Metres: of a path beside which detours are small. */
const FAR = 1e9;
/** What stands in the way with these detours; so narrow that it has no second wave. */
const standing = (detours: Detours): Obstruction => ({
  detours,
  length: FAR,
  mirrored: 0,
  width: 1e-9,
  height: 1e-9,
});

describe("a path's part of the sum", () => {
  it("turns back by its length and falls with it, no nearer than 0.1 m", () => {
    const quarter = added([Math.PI / 4], { path: { length: 2 } });
    expect(quarter.re[0]).toBeCloseTo(0, 9);
    expect(quarter.im[0]).toBeCloseTo(-1 / 2, 9);
    expect(added([1e-6], { path: { length: 0.05 } }).re[0]).toBeCloseTo(10, 6);
    expect(added([1e-6], { path: { length: 0.2 } }).re[0]).toBeCloseTo(5, 6);
  });

  it("weighs as much as the pattern has toward the position, and as on its axis in its own place", () => {
    const pattern = { kind: "first-order", a: 0.5 } as const;
    const aimed = { ...image, point: { x: 3, y: 5, z: 7 }, axis: { x: 1 / 3, y: 2 / 3, z: 2 / 3 } };
    // (2, 1, 2)/3 · (1, 2, 2)/3 = 8/9; a cardioid has (1 + 8/9)/2 there.
    const there = { pattern, position: { x: 5, y: 6, z: 9 }, path: { image: aimed, length: 3 } };
    expect(weight(there).re).toBeCloseTo(17 / 18, 12);
    expect(weight({ ...there, position: aimed.point, path: { image: aimed, length: 0 } }).re).toBeCloseTo(
      1,
      12,
    );
  });

  it("reaches the frequencies it is told, and leaves the others", () => {
    const { re } = added(
      Array.from({ length: 16 }, () => 1e-6),
      { frequencies: 8 },
    );
    expect(Array.from(re, Math.round)).toEqual([1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 0, 0]);
  });

  it("is halved at each edge it meets, of a wall that reflects or stands in the way, and whole where there is none", () => {
    const edge = [0, Infinity, Infinity, Infinity] as const;
    const walls = [wall(), wall()];
    const path = { hits: [hit(0), hit(1)], edges: [undefined, edge], obstructions: [] };
    expect(weight({ path: { ...path, edges: [undefined, undefined] }, walls }).re).toBeCloseTo(1, 9);
    expect(weight({ path, walls }).re).toBeCloseTo(1 / 2, 9);
    expect(weight({ path: { ...path, obstructions: [standing(edge)] }, walls }).re).toBeCloseTo(1 / 4, 9);
  });

  it("keeps deep in a shadow 1/(√2 π v) where it is the direct sound, and nothing where it is a reflection", () => {
    // A detour of 100 wavelengths: v = 20.
    const detours = [200 * Math.PI, Infinity, Infinity, Infinity] as const;
    const obstructions = [standing(detours)];
    const direct = weight({ path: { obstructions } }, 1);
    expect(Math.hypot(direct.re, direct.im)).toBeCloseTo(1 / (Math.SQRT2 * Math.PI * 20), 6);
    // Along the face of a hard screen its second wave is as large.
    const grazing = { ...standing(detours), mirrored: FAR, width: Infinity };
    const both = weight({ path: { obstructions: [grazing] } }, 1);
    expect(Math.hypot(both.re, both.im)).toBeCloseTo(2 / (Math.SQRT2 * Math.PI * 20), 6);
    const reflected = weight(
      { path: { obstructions, hits: [hit(0)], edges: [undefined] }, walls: [wall()] },
      1,
    );
    expect(Math.hypot(reflected.re, reflected.im)).toBe(0);
  });
});

// −1/(cos θ (z + z_r)) of what meets it, so that −1/weight is z + z_r at right angles; z is 1 where all is lost within.
describe("an opening on a path", () => {
  const given = (wall: Wall, setting: Setting = {}, k = 0.02) => {
    const w = weight({ path: { hits: [hit(0)], edges: [undefined] }, walls: [wall], ...setting }, k);
    return inverse({ re: -w.re, im: -w.im });
  };
  /**
   * Reactance over k of a piston that is small against the wavelength, ∬∬ dS dS'/R / 2πS, metres: integrated in closed
   * form. A square's is 0.4733 of its side (Morse and Ingard, from memory).
   */
  const lag = (a: number, b: number) => {
    const d = Math.hypot(a, b);
    const all =
      a * a * b * Math.asinh(b / a) + a * b * b * Math.asinh(a / b) + (a ** 3 + b ** 3 - d ** 3) / 3;
    return all / (Math.PI * a * b);
  };

  it("has a reactance that is known of a square", () => {
    expect(lag(0.8, 0.8) / 0.8).toBeCloseTo(0.4733, 3);
  });

  // Rayleigh's piston has k²S/2π and, beside a rigid surface, as much again from its mirror image, whose air moves along.
  it.each<[string, Joined, Joined, number, number]>([
    ["alone in its wall", FREE, FREE, 0.8, 0.5],
    ["on a floor", [false, false, true, false], FREE, 0.8, 1],
    ["below a ceiling", [false, false, false, true], FREE, 0.8, 1],
    ["beside a wall, which only its other side sees", FREE, [true, false, false, false], 1.6, 0.5],
    ["beside a wall at the end", FREE, [false, true, false, false], 1.6, 0.5],
    ["in a corner", [false, true, true, false], [false, false, true, false], 1.6, 1],
    ["between floor and ceiling", [false, false, true, true], FREE, 0.8, 2],
    ["between two walls", [true, true, false, false], FREE, 3.2, 0.5],
  ])("moves %s as Rayleigh's piston with its mirror images", (_, above, below, width, height) => {
    const z = given(opening(1, { host: 0, above: side(above), below: side(below) }));
    expect((z.re - 1) / ((0.02 ** 2 * width * height) / (2 * Math.PI))).toBeCloseTo(1, 3);
    expect(z.im / 0.02).toBeCloseTo(lag(width, height), 3);
  });

  it("takes its closed line in series: −j at an eighth of a wavelength without losses, added to the air's reactance", () => {
    const lossless = { host: 0, absorption: absorbing(0) };
    const z = given(opening(Math.PI / 4 / 0.02, lossless));
    expect(z.im).toBeCloseTo(-1 + 0.02 * lag(0.8, 0.5), 4);
    expect(z.re).toBeCloseTo((0.02 ** 2 * 0.4) / (2 * Math.PI), 6);
  });

  it("gives more at a slant, by the cosine of incidence down to 0.1", () => {
    const w = (cosine: number) =>
      weight({ path: { hits: [hit(0, cosine)], edges: [undefined] }, walls: [opening(1, { host: 0 })] }).re;
    expect(w(0.5) / w(1)).toBeCloseTo(2, 9);
    expect(w(0.1) / w(1)).toBeCloseTo(10, 9);
    expect(w(0.02) / w(1)).toBeCloseTo(10, 9);
  });

  it("that nothing surrounds reflects 1 − 2/(z + z_r): turned over where small and quite absorbing", () => {
    const path = { hits: [hit(0)], edges: [undefined] };
    const alone = weight({ path, walls: [opening(1)] });
    const { re, im } = inverse({ re: 1 + (0.02 ** 2 * 0.4) / (2 * Math.PI), im: 0.02 * lag(0.8, 0.5) });
    expect(alone.re).toBeCloseTo(1 - 2 * re, 5);
    expect(alone.im).toBeCloseTo(-2 * im, 5);
  });

  it("turns whatever the source sends, and twice over two openings; walls on the way let it be", () => {
    const closed = opening(Math.PI / 4 / 0.02, { host: 0, absorption: absorbing(0) });
    const sent = { re: 0.3, im: -0.4 };
    // −1/(−j) is −j, but for the air: (0.3 − 0.4j)(−j) = −0.4 − 0.3j, and once more −0.3 + 0.4j.
    const over = (...walls: Wall[]) =>
      weight({ path: { hits: walls.map((_, i) => hit(i)), edges: walls.map(() => undefined) }, walls, sent });
    expect(over(wall()).re).toBeCloseTo(0.3, 9);
    expect(over(wall(), closed).re).toBeCloseTo(-0.4, 2);
    expect(over(wall(), closed).im).toBeCloseTo(-0.3, 2);
    // One that loses all within, z = 1, turns it over, but for the air.
    expect(over(opening(1, { host: 0 })).re).toBeCloseTo(-0.3, 1);
    expect(over(opening(1, { host: 0 })).im).toBeCloseTo(0.4, 1);
    expect(over(closed, closed).re).toBeCloseTo(-0.3, 1);
    expect(over(closed, closed).im).toBeCloseTo(0.4, 1);
  });

  it("acts at each frequency by its own wave number", () => {
    const { weightRe, weightIm } = added([0.01, 0.02], {
      path: { hits: [hit(0)], edges: [undefined] },
      walls: [opening(1, { host: 0 })],
    });
    [0.01, 0.02].forEach((k, f) => {
      expect(inverse({ re: -weightRe[f], im: -weightIm[f] }).im / k).toBeCloseTo(lag(0.8, 0.5), 3);
    });
  });
});

describe("what boundaries along a chain reflect", () => {
  const walls = [
    { absorption: { frequency: [100, 1000], value: [0.75, 0] } },
    { absorption: absorbing(0.96) },
    opening(1, { host: 0 }),
    opening(1),
  ];
  const [half, fifth, inHalf, alone] = [0, 1, 2, 3];
  /** An image of a chain, mirrored in the walls one after the other. */
  const chain = (...wallsInTurn: number[]) =>
    wallsInTurn.reduce<Image>((parent, wall) => ({ ...image, parent, wall, order: parent.order + 1 }), image);

  it("is √(1 − α) of the pressure at each, at each frequency", () => {
    const chains = [chain(), chain(half), chain(half, fifth), chain(half, fifth, half)];
    const factors = chainFactors(chains, walls, Float64Array.of(50, 2000));
    [
      [1, 1],
      [0.5, 1],
      [0.1, 0.2],
      [0.05, 0.2],
    ].forEach((expected, i) => {
      expected.forEach((x, f) => {
        expect(factors[i][f]).toBeCloseTo(x, 12);
      });
    });
  });

  it("is 1 + R at an opening in a boundary that reflects R, and 1 at one that stands alone", () => {
    const chains = [chain(inHalf), chain(alone), chain(inHalf, fifth)];
    const [one, two, three] = chainFactors(chains, walls, Float64Array.of(50, 2000));
    expect(Array.from(one)).toEqual([1.5, 2]);
    expect(Array.from(two)).toEqual([1, 1]);
    expect(three[0]).toBeCloseTo(0.3, 12);
  });
});

describe("what the air takes", () => {
  it("is 22.9 dB/km at 4 kHz, 20 °C and 70 %, one neper being 8.686 dB", () => {
    // ISO 9613-2:1996 table 2 (from memory).
    const air = { temperature: 20, relativeHumidity: 70, pressure: 101.325 };
    const [nepers] = airNepers(air, Float64Array.of(3981.07));
    expect(nepers * 8.686 * 1000).toBeCloseTo(22.9, 1);
  });
});
