/** What is taken away is gone: beside closed forms in the open, in a duct, and beside the same drawn as swallowing. */
import { describe, expect, test } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import { type Heard, takenAway } from "../../lib/field/taken-away";
import type { Boundary, Venue } from "../../lib/venue/venue";
import { hollow } from "../../scripts/wave-truth/venues";
import { pointSource } from "../decision/synthetic";
import { box, HARD, source, venue, wall } from "./venues";

const level = (heard: Heard, place = 0) =>
  heard[0][place].re.map((x, f) => 10 * Math.log10(x * x + heard[0][place].im[f] ** 2));

describe("taking a wall away", () => {
  test("in the open leaves the source and its image in the ground", () => {
    const frequency = logGrid(25, 150, 60);
    const from = { x: 2, y: 0, z: 0.4 };
    const to = { x: 9, y: 1, z: 1.5 };
    const open = venue({ sources: [source(from)], boundaries: [wall("z", 0), wall("x", 0)] });
    const { whole, without } = takenAway(open, [open.sources], [to], [{ boundaries: [1] }], { frequency });
    // 94 dB at 1 m is 1 Pa; mirrored in z = 0, in x = 0 and in both. 343.2 m/s at 20 °C.
    const sum = (images: readonly (readonly [number, number])[]) => {
      const all = images.map(([x, z]) =>
        pointSource({ x: x * from.x, y: 0, z: z * from.z }, to, 0, 343.2, frequency),
      );
      return frequency.map((_, f) => {
        const [re, im] = [all.reduce((s, r) => s + r.re[f], 0), all.reduce((s, r) => s + r.im[f], 0)];
        return 10 * Math.log10(re * re + im * im);
      });
    };
    const four = sum([
      [1, 1],
      [1, -1],
      [-1, 1],
      [-1, -1],
    ]);
    const two = sum([
      [1, 1],
      [1, -1],
    ]);
    // What is told apart is tens of decibels; a notch's own depth hangs on the third digit of the speed of sound.
    level(whole).forEach((x, f) => {
      if (four[f] > two[f] - 12) expect(Math.abs(x - four[f] - 0.02)).toBeLessThan(0.5);
    });
    level(without[0]).forEach((x, f) => {
      expect(Math.abs(x - two[f])).toBeLessThan(0.2);
    });
    expect(Math.min(...four.map((x, f) => x - two[f]))).toBeLessThan(-8);
  });

  test("at the end of a duct leaves what a wall of admittance 0.637 sends back, 3.9 dB from trough to crest", () => {
    const duct = closedBox([10, 1.2, 1.2], "south north floor ceiling east");
    // Nothing at 2 m before a hard end at c/8 m, and most at 4 m, whatever the other end does.
    const frequency = Float64Array.of(343.2 / 8);
    const places = [2, 4].map((d) => ({ x: 10 - d, y: 0.6, z: 0.6 }));
    const sub = source({ x: 0.6, y: 0.6, z: 0.6 });
    const east = duct.boundaries.findIndex((b) => b.name === "east");
    const { whole, without } = takenAway(
      { ...duct, sources: [sub] },
      [[sub]],
      places,
      [{ boundaries: [east] }],
      {
        frequency,
        size: 0.3,
      },
    );
    const between = (heard: Heard) => level(heard, 1)[0] - level(heard, 0)[0];
    expect(between(whole)).toBeGreaterThan(20);
    // (1 − 0.637)/(1 + 0.637) = 0.222 comes back: 20 lg(1.222/0.778).
    expect(Math.abs(between(without[0]) - 3.92)).toBeLessThan(0.3);
  });

  test("is the same as drawing it swallowing, and leaves the others", () => {
    const hall = closedBox([6, 4, 2.8], "");
    const sub = source({ x: 0.8, y: 1, z: 0.3 });
    const frequency = logGrid(25, 110, 40);
    const places = [{ x: 4.6, y: 3, z: 1.4 }];
    const drawn = { ...hall, sources: [sub] };
    const swallowed: Venue = {
      ...drawn,
      boundaries: drawn.boundaries.map((b, i) =>
        i === 1 ? { ...b, absorption: { frequency: [100], value: [1] } } : b,
      ),
    };
    const options = { frequency, size: 0.4 };
    const { whole, without } = takenAway(drawn, [[sub]], places, [{ boundaries: [1] }], options);
    const expected = level(takenAway(swallowed, [[sub]], places, [], options).whole);
    level(without[0]).forEach((x, f) => {
      expect(x).toBeCloseTo(expected[f], 2);
    });
    const changed = level(whole).map((x, f) => Math.abs(x - expected[f]));
    expect(Math.max(...changed)).toBeGreaterThan(3);
  });

  // A pulse is cut off at its span's ends, a delayed one elsewhere: what that leaves is held to a fiftieth of the largest pressure.
  test.each([
    { delay: 0, most: 1e-4 },
    { delay: 0.02, most: 0.02 },
  ])(
    "is heard of voices together as the sum of each, one $delay s late, walls and a cavity",
    ({ delay, most }) => {
      const hall = closedBox([6, 4, 2.8], "");
      const late = { ...source({ x: 0.8, y: 3, z: 0.3 }), delay, gain: -3, polarity: -1 as const };
      const early = source({ x: 0.8, y: 1, z: 0.3 });
      const stage = hollow(2, 1, 0.6, 1.5);
      const drawn: Venue = { ...hall, cavities: [stage], sources: [late, early] };
      const removables = [{ boundaries: [1] }, { boundaries: [], cavity: stage.name }, { boundaries: [3] }];
      const heard = (together?: number[][]) =>
        takenAway(drawn, [[late], [early]], [{ x: 4.6, y: 3, z: 1.4 }], removables, {
          frequency: logGrid(25, 110, 40),
          size: 0.4,
          ...(together && { together }),
        }).without.map((voices) =>
          [...voices[0][0].re.keys()].map((f) =>
            (["re", "im"] as const).map((part) => voices.reduce((sum, [v]) => sum + v[part][f], 0)),
          ),
        );
      const apart = (a: number[][], b: number[][]) =>
        Math.max(...a.map(([re, im], f) => Math.hypot(re - b[f][0], im - b[f][1])));
      const [each, both] = [heard(), heard([[0, 1]])];
      const largest = Math.max(...each.flat().map(([re, im]) => Math.hypot(re, im)));
      each.forEach((expected, r) => {
        expect(apart(both[r], expected)).toBeLessThan(most * largest);
        each.slice(r + 1).forEach((other) => {
          expect(apart(expected, other)).toBeGreaterThan(0.1 * largest);
        });
      });
    },
  );
});

/** A box that waves are computed in; the walls named are hard, the others absorb a fifth. */
function closedBox(size: readonly [number, number, number], hard: string): Venue {
  const names = ["west", "east", "south", "north", "floor", "ceiling"];
  const boundaries = box(size, Object.fromEntries(names.map((n) => [n, hard.includes(n) ? 0 : 0.2]))).map(
    (b): Boundary => (hard.includes(b.name) ? { ...b, absorption: HARD } : b),
  );
  const [x, y, z] = size;
  const corner = (a: number, b: number) => ({ x: a * x, y: b * y, z: 0 });
  return venue({
    boundaries,
    audience: [
      {
        name: "floor",
        corners: [corner(0.4, 0.9), corner(0.4, 0.1), corner(0.9, 0.1), corner(0.9, 0.9)],
        earHeight: z / 2,
        density: 1,
      },
    ],
    room: {
      volume: x * y * z,
      surface: 2 * (x * y + y * z + z * x),
      reverberationTime: { frequency: [100], value: [2] },
    },
  });
}
