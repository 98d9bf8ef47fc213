/**
 * What each thing that may be put up does at every seat and on stage, computed once.
 *
 * The field is linear in its sources: any layout within the limits is a weighted sum of these, so that trying one costs
 * a sum over seats and frequencies and no walk along paths. The diffuse field goes by sound power, which is quadratic in
 * the sources; the mutual part of each two of them is kept.
 */

import type { Band } from "../../acoustics/bands/bands";
import { speedOfSound } from "../../acoustics/distance/air";
import { distance, type Point } from "../../acoustics/point";
import { shareOfWaves } from "../../field/hand-over";
import { responder } from "../../field/model-survey";
import { type FieldOptions, settled } from "../../field/options";
import { wallsOf } from "../../field/paths/walls";
import { diffuseField } from "../../field/room/diffuse";
import { emission } from "../../field/room/emission";
import { type FirstWalls, firstWalls } from "../../field/room/first-walls";
import { prepareWaves } from "../../field/waves/low-band";
import { acousticCentre } from "../../venue/centre";
import type { Venue } from "../../venue/venue";
import { type BalanceOptions, withDefaults } from "../balance/balance";
import { bandWeights, span } from "../balance/band-powers";
import { thirdOctavesFrom } from "./context";
import type { Unit } from "./limits";

export interface Transfers {
  /** hertz, low band only */
  readonly frequency: Float64Array;
  /** Weights of the frequencies in the mean over the low band. */
  readonly weight: Float64Array;
  /** Seats and stage places. */
  readonly rows: number;
  /** One array per unit and part: all rows at the first frequency, then all at the next. */
  readonly re: readonly Float64Array[];
  readonly im: readonly Float64Array[];
  /** The diffuse field; absent where there is none. */
  readonly diffuse?: DiffuseParts;
}

export interface DiffuseParts {
  /** Power of two units together less that of each alone, halved; of one alone on the diagonal; per frequency. */
  readonly mutual: readonly Float64Array[];
  /** Units, to find a pair at `i × units + j`, i ≤ j. */
  readonly units: number;
  /** Each unit's own power over all frequencies, which weighs its distance. */
  readonly own: Float64Array;
  /** Mean distance to the unit's cabinets, metres, one array per unit, a value per row. */
  readonly distance: readonly Float64Array[];
  /** Diffuse mean square for a power of 1 of each unit at a distance of 0, one array per unit, a value per frequency. */
  readonly level: readonly Float64Array[];
  /** Nepers of power per metre, per frequency. */
  readonly decay: Float64Array;
}

/** Bytes that the transfers may take. */
const MOST_BYTES = 1e9;

/**
 * Transfers of all units, in steps: yields the share that is done, 0…1.
 *
 * @param venue  walls, air and room; its sources do not matter
 * @param units  what may be put up
 * @param positions  seats, then stage
 * @param options  low band, and how the field is computed
 * @throws RangeError when the transfers would not fit into a gigabyte
 */
export function* transferSteps(
  venue: Venue,
  units: readonly Unit[],
  positions: readonly Point[],
  options: BalanceOptions & { readonly field?: FieldOptions },
): Generator<number, Transfers, void> {
  const { lowBand } = withDefaults(options);
  const thirds = thirdOctavesFrom(lowBand);
  const band = span(thirds);
  const frequency = lowFrequencies(thirds);
  const { start, weight: inside } = bandWeights(frequency, band);
  const weight = new Float64Array(frequency.length);
  weight.set(inside, start);
  const size = positions.length * frequency.length;
  if (units.length * size * 16 > MOST_BYTES) {
    throw new RangeError(
      `${units.length} positions and cabinets at ${positions.length} seats need ${Math.ceil((units.length * size * 16) / 1e6)} MB: choose fewer positions or seats`,
    );
  }
  const re: Float64Array[] = [];
  const im: Float64Array[] = [];
  const { lowBand: by, progress } = settled(venue, "subs", options.field ?? {});
  const field = { ...options.field, frequency, diffuse: "none", lowBand: by } as const;
  for (const [u, { sources }] of units.entries()) {
    if (by === "waves" && u % TOGETHER === 0) {
      const next = units.slice(u, u + TOGETHER).map((unit) => unit.sources);
      prepareWaves(venue, next, positions, progress);
    }
    const at = responder({ ...venue, sources }, "subs", positions, field);
    const r = new Float64Array(size);
    const i = new Float64Array(size);
    positions.forEach((position, row) => {
      const response = at(position);
      for (let f = 0; f < frequency.length; f++) {
        r[f * positions.length + row] = response.re[f];
        i[f * positions.length + row] = response.im[f];
      }
    });
    re.push(r);
    im.push(i);
    yield (u + 1) / units.length;
  }
  const diffuse = diffuseParts(venue, units, positions, frequency, options.field ?? {});
  return { frequency, weight, rows: positions.length, re, im, ...(diffuse ? { diffuse } : {}) };
}

/** Cabinets whose waves are computed in one go. */
const TOGETHER = 4;

/** Four to the third octave, edges included: those of `layoutFrequencies` in the low band. */
export function lowFrequencies(thirds: readonly Band[]): Float64Array {
  const from = thirds[0].lower;
  const to = thirds[thirds.length - 1].upper;
  const count = 4 * thirds.length;
  return Float64Array.from({ length: count + 1 }, (_, i) => from * (to / from) ** (i / count));
}

function diffuseParts(
  venue: Venue,
  units: readonly Unit[],
  positions: readonly Point[],
  frequency: Float64Array,
  field: FieldOptions,
): DiffuseParts | undefined {
  const { diffuse: model, order, lowBand } = settled(venue, "subs", field);
  const { room } = venue;
  if (!room || model === "none") return undefined;
  const c = speedOfSound(venue.air.temperature);
  const walls = wallsOf({ boundaries: venue.boundaries, cavities: [] });
  const modelledArea = walls.reduce((sum, { rectangle: r }) => sum + r.width * r.height, 0);
  const powerOf = (of: readonly Unit[]) =>
    emission(
      of.flatMap((u) => u.sources),
      walls,
      frequency,
      c,
    ).power;
  const n = units.length;
  const mutual: Float64Array[] = new Array(n * n);
  units.forEach((unit, i) => {
    mutual[i * n + i] = powerOf([unit]);
  });
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const both = powerOf([units[i], units[j]]);
      mutual[i * n + j] = both.map((p, f) => (p - mutual[i * n + i][f] - mutual[j * n + j][f]) / 2);
    }
  }
  // The law at two distances tells its level and its decay at each frequency.
  const lawOf = (first?: FirstWalls) => {
    const at = diffuseField(
      room,
      {
        power: new Float64Array(frequency.length).fill(1),
        positions: [{ point: { x: 0, y: 0, z: 0 }, fraction: 1 }],
      },
      frequency,
      { model, order, modelledArea, speedOfSound: c, ...(first && { first }) },
    );
    return [0, 1].map((x) => at({ x, y: 0, z: 0 }).slice());
  };
  // Only the balance of energy asks where a unit aims.
  const common = model === "energy-balance" ? undefined : lawOf();
  const laws = units.map(({ sources }) => {
    const evenly = sources.map(() => 1 / sources.length);
    return common ?? lawOf(firstWalls(venue, room, sources, evenly, frequency));
  });
  const [near, far] = laws[0];
  const decay = near.map((d, f) => (d > 0 ? Math.log(d / far[f]) : 0));
  return {
    mutual,
    units: n,
    own: Float64Array.from(units, ({ sources }) =>
      sources.flatMap((s) => [...emission([s], [], frequency, c).power]).reduce((sum, p) => sum + p, 0),
    ),
    distance: units.map(({ sources }) =>
      Float64Array.from(
        positions,
        (p) => sources.reduce((sum, s) => sum + distance(acousticCentre(s), p), 0) / sources.length,
      ),
    ),
    // Where waves hold the whole room, nothing is left to the diffuse field.
    level: laws.map(([level]) =>
      lowBand === "waves" ? level.map((l, f) => l * (1 - shareOfWaves(frequency[f]))) : level,
    ),
    decay,
  };
}
