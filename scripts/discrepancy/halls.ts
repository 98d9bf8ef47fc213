/** Random halls, each as it is drawn and as it is: what is uncertain in any drawing is a little different there. */
import { normalFrom, uniform } from "../../lib/numeric/random";
import type { Boundary, Venue } from "../../lib/venue/venue";
import { area, type Box, bands, block, pairs, shell, venue } from "../wave-truth/venues";

/** What a careful drawing is wrong by, one standard deviation. Common practice, no source: measured by tape, read from tables. */
const WRONG = {
  /** Of a wall's place, metres. */
  wall: 0.15,
  /** Of a source's place, metres. */
  source: 0.1,
  /** Of an absorption coefficient, factors of two. */
  absorption: 0.6,
  /** Of the air's temperature, kelvin. */
  temperature: 3,
  /** Of a group's level, dB. */
  level: 0.7,
};

/**
 * @param seed  any whole number: another hall each
 * @returns the drawing, and two halls that it may stand for
 */
export function uncertainHall(seed: number, versions = 2): { readonly drawn: Venue; readonly real: Venue[] } {
  const build = (which: number): Venue => {
    const random = uniform(seed);
    const error = uniform(1000 * seed + which);
    const off = normalFrom(error);
    const between = (a: number, b: number) => a + (b - a) * random();
    const wrong = (value: number, by: number) => (which === 0 ? value : value + by * off());
    const kind = random();
    const [length, width, height] =
      kind < 0.35
        ? [between(10, 17), between(7, 12), between(2.7, 4.2)]
        : [between(16, 30), between(11, 20), between(4.5, 10)];
    const behind = between(1.5, 6);
    const wall = (at: number) => wrong(at, WRONG.wall);
    const half = width / 2;
    const room: Box = {
      from: [wall(-behind), wall(-half), 0],
      to: [wall(length), wall(half), wall(height)],
    };
    const absorption = [0, 1, 2, 3, 4, 5].map((side) => {
      const value = side === 4 ? between(0.05, 0.25) : between(0.06, 0.4);
      const real = (x: number) => Math.min(0.8, Math.max(0.02, x * 2 ** wrong(0, WRONG.absorption)));
      const real63 = real(value);
      return bands(real63 * 0.9, real63, real(value * 1.1));
    });
    const boundaries: Boundary[] = shell(room, absorption);
    const stage = random();
    const depth = Math.min(behind, between(3, 6));
    const stageHeight = between(0.5, 1.1);
    const stageHalf = between(3, half - 0.8);
    if (stage < 0.6) {
      const from: Box["from"] = [depth > behind - 0.4 ? room.from[0] : -depth, -stageHalf, 0];
      boundaries.push(
        ...block("stage", { from, to: [0, stageHalf, stageHeight] }, bands(0.2, 0.15, 0.1), room),
      );
    }
    const hang = height > 4.4;
    const mainY = between(2.8, half - 1.2);
    const subY = random() < 0.5 ? mainY : between(0.6, half - 1.2);
    const mainZ = hang ? between(3.2, height - 0.9) : 2;
    const first = between(2.5, 4);
    const audience = [area("floor", [first, length - 1.5, half - 1.2], [0, 0, 1.4])];
    if (which > 0) boundaries.push(...furniture(uniform(77 * seed + which), room, first, length, half));
    const level = { mains: wrong(0, WRONG.level), subs: wrong(0, WRONG.level), fills: 0 };
    const base = venue({
      name: `hall ${seed}`,
      room,
      decay: [1.2, 1.1, 1],
      boundaries,
      sources: pairs([0.4, mainY, mainZ], [0.6, subY, 0.3]),
      audience,
      mix: [length * 0.5, length * 0.85, half * 0.5, 0],
    });
    return {
      ...base,
      air: { ...base.air, temperature: wrong(20, WRONG.temperature) },
      sources: base.sources.map((s) => ({
        ...s,
        gain: s.gain + level[s.group],
        point: { x: wrong(s.point.x, WRONG.source), y: wrong(s.point.y, WRONG.source), z: s.point.z },
      })),
    };
  };
  return { drawn: build(0), real: Array.from({ length: versions }, (_, i) => build(i + 1)) };
}

/** What nobody draws: bars, racks, piles of chairs, beside the audience. */
function furniture(random: () => number, room: Box, first: number, length: number, half: number): Boundary[] {
  const count = Math.floor(4 * random());
  return Array.from({ length: count }, (_, i) => {
    const side = random() < 0.5 ? 1 : -1;
    const from = first + random() * (length - first - 4);
    const deep = 0.4 + 0.4 * random();
    const wide = 1 + 2.5 * random();
    const y = side > 0 ? [half - 0.25 - deep, half - 0.25] : [-half + 0.25, -half + 0.25 + deep];
    const box: Box = {
      from: [from, y[0], 0],
      to: [from + wide, y[1], Math.min(room.to[2] - 0.5, 0.8 + 1.4 * random())],
    };
    return block(`furniture ${i}`, box, bands(0.15, 0.15, 0.2));
  }).flat();
}
