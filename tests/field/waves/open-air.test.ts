// Exact: a point source of 1/r and its images in rigid planes.
import { describe, expect, it } from "vitest";
import type { Point } from "../../../lib/acoustics/point";
import { rectangle } from "../../../lib/field/paths/rectangle";
import {
  at,
  type Complex,
  decibels,
  distance,
  frequencies,
  grid,
  hear,
  open,
  plus,
  quantile,
  SPEED,
  wave,
} from "./grid";

const SIZE = 0.4;
const DEEP = 4;
const BANDS = frequencies(20, 127, 3);

function expectWithin(what: string, errors: readonly number[], median: number, most: number): void {
  if (process.env.SHOW_DEVIATIONS)
    console.info(
      `${what} | ${errors.length} values | median ${quantile(errors, 0.5).toFixed(3)}, worst ${quantile(errors, 1).toFixed(3)} dB`,
    );
  expect(quantile(errors, 0.5), what).toBeLessThan(median);
  expect(quantile(errors, 1), what).toBeLessThan(most);
}

const images = (sources: readonly Point[], place: Point, frequency: number): Complex =>
  sources.map((s) => wave((2 * Math.PI * frequency) / SPEED, distance(s, place))).reduce(plus);

/**
 * A source of 1/r over a plane of real admittance y: the source, its image, and images at complex heights below that.
 *
 * Di and Gilbert, J. Acoust. Soc. Am. 93 (1993), 714-720 (from memory); Sommerfeld's integral over plane waves, by numpy, agrees to five
 * digits.
 */
function overImpedance(source: Point, place: Point, frequency: number, y: number): Complex {
  const k = (2 * Math.PI * frequency) / SPEED;
  const across = (source.x - place.x) ** 2 + (source.y - place.y) ** 2;
  const height = source.z + place.z;
  const [count, most] = [4000, 16 / (k * y)];
  let [re, im] = [0, 0];
  for (let n = 0; n < count; n++) {
    const q = ((n + 0.5) * most) / count;
    // The root of across + (height − jq)².
    const [a, b] = [across + height * height - q * q, -2 * height * q];
    const angle = Math.atan2(b, a) / 2;
    const size = Math.sqrt(Math.hypot(a, b));
    const [c, d] = [size * Math.cos(angle), size * Math.sin(angle)];
    const scale = ((most / count) * Math.exp(k * d - k * y * q)) / size;
    re += scale * Math.cos(k * c + angle);
    im -= scale * Math.sin(k * c + angle);
  }
  const mirrored = images([source, { ...source, z: -source.z }], place, frequency);
  return plus(mirrored, [-2 * k * y * re, -2 * k * y * im]);
}

describe("open air by waves", () => {
  it("over hard ground has the direct sound and its image, to 13 m", () => {
    const [low, high] = [at(0, 0, 0), at(16, 8, 4)];
    const g = grid(
      [],
      SIZE,
      at(-DEEP, -DEEP, 0),
      at(high.x + DEEP, high.y + DEEP, high.z + DEEP),
      at(1, 1, 1),
    );
    const source = at(2.1, 4.7, 0.45);
    const places = [4.3, 8.1, 11.7, 15.2].map((x) => at(x, 6.2, 1.3));
    const { response } = hear(g, [source], places, 0.3, { layer: open(g, { ...low, z: -1e9 }, high, DEEP) });
    const errors = BANDS.flatMap((f) =>
      places.map((p, i) => decibels(response(0, i, f), images([source, { ...source, z: -source.z }], p, f))),
    );
    expectWithin("half space", errors, 0.05, 0.2);
  });

  it("dies away whatever cubes the ground and the layer's end cut, and has the image in ground that cuts cubes", () => {
    for (const [x, y, z, ground] of [[6.03, 4.9, 4.2, 0.04]]) {
      const corner = (a: number, b: number) => at(a * (x + DEEP + 1), b * (y + DEEP + 1), 0);
      const drawn = rectangle([corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)]);
      const g = grid([drawn], SIZE, at(-DEEP, -DEEP, -ground), at(x + DEEP, y + DEEP, z + DEEP), at(1, 1, 1));
      const source = at(2, 2, 0.7);
      const places = [at(4, 3, 1), at(5.6, 4.2, 0.3), at(5.6, 1, 3.2)];
      const { response, series, steps } = hear(g, [source], places, 0.7, {
        layer: open(g, at(0, 0, -1e9), at(x, y, z), DEEP),
      });
      const errors = BANDS.flatMap((f) =>
        places.map((p, i) =>
          decibels(response(0, i, f), images([source, { ...source, z: -source.z }], p, f)),
        ),
      );
      expectWithin("half space over drawn ground", errors, 0.05, 0.2);
      const loudest = series[0].reduce((most, v) => Math.max(most, Math.abs(v)), 0);
      for (let n = Math.floor(0.7 * steps); n < steps; n++)
        expect(Math.abs(series[0][3 * n])).toBeLessThan(1e-4 * loudest);
    }
  });

  it("over ground that absorbs has the exact reflection", () => {
    const [x, y, z] = [9.1, 5.2, 4.2];
    const corner = (a: number, b: number) => at(a * (x + DEEP + 1), b * (y + DEEP + 1), 0);
    const drawn = rectangle([corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)]);
    const g = grid([drawn], SIZE, at(-DEEP, -DEEP, -SIZE), at(x + DEEP, y + DEEP, z + DEEP), at(1, 1, 1));
    const source = at(1.7, 2.1, 0.7);
    const places = [at(4.2, 3.1, 1), at(6.8, 4.2, 0.4), at(8.6, 1, 3.2), at(2.9, 2.5, 2.7)];
    for (const [admittance, median, most] of [
      [0.05, 0.05, 0.25],
      [0.2, 0.15, 0.7],
    ]) {
      const { response } = hear(g, [source], places, 0.3, {
        layer: open(g, at(0, 0, -1e9), at(x, y, z), DEEP),
        admittance: [admittance, 0, 0, 0, 0],
      });
      const errors = BANDS.flatMap((f) =>
        places.map((p, i) => decibels(response(0, i, f), overImpedance(source, p, f, admittance))),
      );
      expectWithin(`half space of admittance ${admittance}`, errors, median, most);
    }
  });

  it("before a hard wall on hard ground has three images", () => {
    const [low, high] = [at(0, 0, 0), at(10.4, 8, 4)];
    // The ground and the wall are two sides of the box.
    const g = grid([], SIZE, at(0, -DEEP, 0), at(high.x + DEEP, high.y + DEEP, high.z + DEEP), at(1, 1, 1));
    const source = at(1.65, 4.7, 0.45);
    const places = [at(5.3, 4.2, 1.3), at(9.4, 6.6, 1.65), at(7.7, 2.2, 3.3)];
    const { response } = hear(g, [source], places, 0.3, {
      layer: open(g, { ...low, x: -1e9, z: -1e9 }, high, DEEP),
    });
    const mirrored = [1, -1].flatMap((x) => [1, -1].map((z) => at(x * source.x, source.y, z * source.z)));
    // Beside dips, which are as deep as the last percents of four waves leave them.
    const errors = BANDS.flatMap((f) =>
      places.flatMap((p, i) => {
        const exact = images(mirrored, p, f);
        return Math.hypot(...exact) * distance(source, p) > 1 ? [decibels(response(0, i, f), exact)] : [];
      }),
    );
    expectWithin("quarter space", errors, 0.05, 0.2);
  });

  it("over ground that slopes has the image in the slope, though the ground is made of blocks", () => {
    const angle = (12 * Math.PI) / 180;
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    // Nothing swallows: all is read before the box's own sides answer.
    const reach = 16;
    const along = (u: number, v: number, h: number) => at(u * cos - h * sin, v, u * sin + h * cos);
    const ground = rectangle([along(-30, -30, 0), along(30, -30, 0), along(30, 30, 0), along(-30, 30, 0)]);
    const source = along(-2.3, 0.3, 0.7);
    const g = grid([ground], SIZE, at(-reach, -reach, -5), at(reach, reach, reach), source);
    const places = [along(1.7, 1.2, 1.3), along(3.1, -1.9, 2.2), along(-4.4, 2.2, 1.0)];
    const { response } = hear(g, [source], places, 0.085, { peak: 90 });
    const image = along(-2.3, 0.3, -0.7);
    const bands = frequencies(63, 127, 6);
    const errors = bands.flatMap((f) =>
      places.map((p, i) => decibels(response(0, i, f), images([source, image], p, f))),
    );
    expectWithin("sloping ground", errors, 0.3, 0.8);
  });

  it("around a hollow stage is the same wherever the layer begins, though that cuts the ground and comes near the stage", () => {
    const depth = 2.4;
    const whole = (length: number) => Math.ceil(length / SIZE - 1e-9) * SIZE;
    const box = (x0: number, x1: number, y0: number, y1: number, z1: number) => [
      rectangle([at(x0, y0, z1), at(x1, y0, z1), at(x1, y1, z1), at(x0, y1, z1)]),
      rectangle([at(x0, y0, 0), at(x0, y1, 0), at(x0, y1, z1), at(x0, y0, z1)]),
      rectangle([at(x0, y0, 0), at(x1, y0, 0), at(x1, y0, z1), at(x0, y0, z1)]),
      rectangle([at(x0, y1, 0), at(x1, y1, 0), at(x1, y1, z1), at(x0, y1, z1)]),
    ];
    // Open in front, toward +x.
    const stage = box(-depth, 0, -3, 3, 1.1);
    const source = at(0.9, 0.7, 0.4);
    const places = [at(4.3, 1.1, 1.2), at(6.1, -2.3, 1.6), at(-1.3, 0.4, 0.5)];
    const heard = [1, 3].map((more) => {
      const [low, high] = [at(-depth - more, -3 - more, -1e9), at(7 + more, 3 + more, 2 + more)];
      const from = at(low.x - DEEP, low.y - DEEP, 0);
      const to = at(
        from.x + whole(high.x + DEEP - from.x),
        from.y + whole(high.y + DEEP - from.y),
        whole(high.z + DEEP),
      );
      const g = grid(stage, SIZE, from, to, source);
      return hear(g, [source], places, 0.3, { layer: open(g, low, high, DEEP) });
    });
    const errors = BANDS.flatMap((f) =>
      places.map((_, i) => decibels(heard[0].response(0, i, f), heard[1].response(0, i, f))),
    );
    expectWithin("layer 1 m instead of 3 m from a stage", errors, 0.1, 0.5);
  });
});
