// Exact: modes of a box, rigid (cosines) and with locally reacting walls (complex eigenvalues of each axis), Kuttruff, Room Acoustics,
// sections 3.1 and 3.2 (from memory); written out here.
import { describe, expect, it } from "vitest";
import { rectangle } from "../../../lib/field/paths/rectangle";
import { branchAt } from "../../../lib/field/waves/admittance";
import { boxFaces } from "../../../lib/venue/box";
import { expectAgreement } from "../../acoustics/deviation";
import {
  at,
  type Complex,
  decibels,
  frequencies,
  grid,
  hear,
  over,
  plus,
  quantile,
  SPEED,
  scaled,
  times,
} from "./grid";

// No side is a whole number of cubes.
const SIDES = [9.13, 6.87, 4.31];
const SOURCE = [1.3, 2.1, 0.3];
const PLACES = [
  [5.2, 3.3, 1.2],
  [8.1, 1.1, 1.65],
  [3.3, 6.0, 2.9],
  [7.2, 5.5, 1.2],
];
/** As good as none; none at all would leave the lowest mode without a place to start from. */
const RIGID: Complex = [1e-9, 0];
const point = ([x, y, z]: readonly number[]) => at(x, y, z);

function room(size: number) {
  const bare = { frequency: [100], value: [0] };
  const faces = boxFaces(at(0, 0, 0), point(SIDES), {
    floor: bare,
    ceiling: bare,
    front: bare,
    back: bare,
    left: bare,
    right: bare,
  });
  const pad = 0.6 * size;
  return grid(
    faces.map((f) => rectangle(f.corners)),
    size,
    at(-pad, -pad, -pad),
    point(SIDES.map((side) => side + pad)),
    point(SOURCE),
  );
}

interface Value {
  readonly frequency: number;
  readonly place: number;
  readonly found: Complex;
  readonly exact: Complex;
}

/** Third octaves: median and 90th percentile of the error's amount; single frequencies: median. */
function expectErrors(what: string, values: readonly Value[], [median, most, single]: readonly number[]) {
  const narrow = values.map((v) => decibels(v.found, v.exact));
  const wide = thirdOctaves(values);
  const found = [quantile(wide, 0.5), quantile(wide, 0.9), quantile(narrow, 0.5)];
  if (process.env.SHOW_DEVIATIONS)
    console.info(`${what} | ${values.length} values | ${found.map((x) => x.toFixed(3)).join(", ")}`);
  [median, most, single].forEach((limit, i) => {
    expect(found[i], what).toBeLessThan(limit);
  });
}

/** Errors of third octaves, dB, place by place: the grid's power over the exact one. */
function thirdOctaves(values: readonly Value[]) {
  const sums = new Map<string, [number, number]>();
  for (const { frequency, place, found, exact } of values) {
    const key = `${place} ${Math.floor(3 * Math.log2(frequency / 20) + 1e-9)}`;
    const sum = sums.get(key) ?? [0, 0];
    sums.set(key, [sum[0] + Math.hypot(...found) ** 2, sum[1] + Math.hypot(...exact) ** 2]);
  }
  return [...sums.values()].map(([a, b]) => 10 * Math.log10(a / b));
}

const cosine = (a: Complex): Complex => [Math.cos(a[0]) * Math.cosh(a[1]), -Math.sin(a[0]) * Math.sinh(a[1])];
const sine = (a: Complex): Complex => [Math.sin(a[0]) * Math.cosh(a[1]), Math.cos(a[0]) * Math.sinh(a[1])];

/** Modes of one axis between walls of admittance y, for g = jky: q sin(qL/2) = g cos(qL/2) and q cos(qL/2) = −g sin(qL/2). */
function axisModes(length: number, g: Complex, most: number) {
  return Array.from({ length: most }, (_, n) => {
    const odd = n % 2 === 1;
    const equation = (q: Complex): Complex => {
      const x = scaled(q, length / 2);
      return odd
        ? plus(times(q, cosine(x)), times(g, sine(x)))
        : plus(times(q, sine(x)), scaled(times(g, cosine(x)), -1));
    };
    let q: Complex = [(n * Math.PI) / length, 0];
    if (n > 0) q = plus(q, over(scaled(g, 2 / length), q));
    else {
      const square = scaled(g, 2 / length);
      const [root, angle] = [Math.sqrt(Math.hypot(...square)), Math.atan2(square[1], square[0]) / 2];
      q = [root * Math.cos(angle), root * Math.sin(angle)];
    }
    for (let i = 0; i < 60; i++) {
      const f = equation(q);
      const slope = scaled(plus(equation(plus(q, [1e-6, 0])), scaled(f, -1)), 1e6);
      q = plus(q, scaled(over(f, slope), -1));
    }
    const half = over(sine(scaled(q, length)), scaled(q, odd ? -2 : 2));
    return {
      q,
      shape: (x: number) => (odd ? sine : cosine)(scaled(q, x - length / 2)),
      norm: plus([length / 2, 0], half),
    };
  });
}

/**
 * Pressure of a source of 1/r: modes across, and along the longest side what they add up to in closed form.
 *
 * @param k  wave number, may be complex
 * @param y  admittance of all walls in units of 1/ρc
 */
function exactly(k: Complex, y: Complex): (place: readonly number[]) => Complex {
  const g = times([-k[1], k[0]], y);
  const length = SIDES[0];
  const [acrossY, acrossZ] = [axisModes(SIDES[1], g, 26), axisModes(SIDES[2], g, 16)];
  const list = acrossY.flatMap((b) =>
    acrossZ.map((c) => {
      const square = plus(times(k, k), scaled(plus(times(b.q, b.q), times(c.q, c.q)), -1));
      const [root, angle] = [Math.sqrt(Math.hypot(...square)), Math.atan2(square[1], square[0]) / 2];
      const q: Complex = [root * Math.cos(angle), root * Math.sin(angle)];
      const end = over(g, q);
      const from = (x: number) => plus(cosine(scaled(q, x)), times(end, sine(scaled(q, x))));
      const wronskian = plus(
        times(plus(q, scaled(times(g, end), -1)), sine(scaled(q, length))),
        scaled(times(g, cosine(scaled(q, length))), -2),
      );
      const strength = over(times(b.shape(SOURCE[1]), c.shape(SOURCE[2])), times(b.norm, c.norm));
      return { b, c, from, strength: over(scaled(strength, -4 * Math.PI), wronskian) };
    }),
  );
  return ([x, py, pz]) => {
    const [low, high] = [Math.min(SOURCE[0], x), Math.max(SOURCE[0], x)];
    return list.reduce<Complex>(
      (sum, { b, c, from, strength }) =>
        plus(
          sum,
          times(times(strength, times(b.shape(py), c.shape(pz))), times(from(low), from(length - high))),
        ),
      [0, 0],
    );
  };
}

describe("a box by waves", () => {
  it("has the third octaves of the exact modes where its walls absorb, at all frequencies alike or not", () => {
    const g = room(0.25);
    for (const strengths of [
      [0.1, 0, 0, 0, 0],
      [0.03, 0.02, 0.1, 0.05, 0.02],
    ]) {
      const { response } = hear(g, [point(SOURCE)], PLACES.map(point), 1.2, { admittance: strengths });
      const values = frequencies(20, 141, 24).flatMap((frequency) => {
        const k = (2 * Math.PI * frequency) / SPEED;
        // The branches resonate in the grid's own time.
        const radian = g.dispersion.radian(k);
        const y = strengths.slice(1).reduce<Complex>(
          (sum, s, b) => {
            const { re, im } = branchAt(b, radian / 2 / Math.PI);
            return plus(sum, scaled([re, im], s));
          },
          [strengths[0], 0],
        );
        const exact = exactly([k, 0], y);
        return PLACES.map((place, p) => ({
          frequency,
          place: p,
          found: response(0, p, frequency),
          exact: exact(place),
        }));
      });
      expectErrors(`absorbing walls ${strengths}`, values, [0.1, 0.2, 0.12]);
    }
  });

  it("has the third octaves of the exact modes where its walls are rigid, through a window that decays", () => {
    const decay = 12;
    // Venues of this size have cubes of 0.25 m, the largest ones of 0.4 m.
    for (const size of [0.25, 0.4]) {
      const g = room(size);
      const { response } = hear(g, [point(SOURCE)], PLACES.map(point), 0.9);
      const values = frequencies(20, 141, 24).flatMap((frequency) => {
        const k = (2 * Math.PI * frequency) / SPEED;
        // The window makes the frequency complex, and with it the wave number, by the slope of the grid's own law.
        const slope = (g.dispersion.radian(k * 1.0001) - g.dispersion.radian(k * 0.9999)) / (0.0002 * k);
        const exact = exactly([k, -decay / slope], RIGID);
        return PLACES.map((place, p) => ({
          frequency,
          place: p,
          found: response(0, p, frequency, decay),
          exact: exact(place),
        }));
      });
      expectErrors(
        `rigid walls, cubes of ${size} m`,
        values,
        size === 0.25 ? [0.05, 0.15, 0.05] : [0.1, 0.4, 0.1],
      );
    }
  });

  it("has the volume and the walls of the box, whatever the cubes", () => {
    const [x, y, z] = SIDES;
    for (const size of [0.3, 0.4]) {
      const { equations } = room(size);
      const volume = equations.volume.reduce((sum, v) => sum + v, 0) * size ** 3;
      const area = equations.walls.area.reduce((sum, a) => sum + a, 0) * size ** 2;
      expectAgreement(
        "volume and area of a box",
        [
          [volume, x * y * z],
          [area, 2 * (x * y + y * z + z * x)],
        ],
        1e-9,
        true,
      );
    }
  });

  it("decays as plane waves do between two ends: by R² on each way to and fro", () => {
    const [length, y] = [6, 0.1];
    // Cross modes begin at 214 Hz, beyond all that sounds.
    const tube = grid(
      [0, length].map((x) => rectangle([at(x, 0, 0), at(x, 0.8, 0), at(x, 0.8, 0.8), at(x, 0, 0.8)])),
      0.4,
      at(-0.24, 0, 0),
      at(length + 0.24, 0.8, 0.8),
      at(1, 0.3, 0.3),
    );
    const { series } = hear(tube, [at(0.7, 0.3, 0.5)], [at(4.1, 0.4, 0.4)], 1.2, {
      admittance: [y, 0, 0, 0, 0],
      peak: 50,
    });
    // Power over whole ways to and fro, of which the field at a place is made up.
    const round = (2 * length) / SPEED / tube.step;
    const level = (from: number) => {
      let sum = 0;
      for (let n = 0; n < 8 * round; n++) sum += series[0][Math.floor(from + n)] ** 2;
      return 10 * Math.log10(sum);
    };
    const first = 0.1 / tube.step;
    const last = 0.45 / tube.step;
    const measured = (level(first) - level(last)) / ((last - first) * tube.step);
    const exact = ((8.686 * SPEED) / length) * Math.log((1 + y) / (1 - y));
    expectAgreement("decay between two ends, dB a second", [[measured, exact]], 0.03, true);
  });
});
