/** What a model takes into account, and what it does where nobody says. */
import { requirePositive } from "../guard/arguments";
import { quoted } from "../text/quoted";
import type { Source, Venue } from "../venue/venue";
import { modelFrequencies } from "./frequencies";
import type { DiffuseModel } from "./room/diffuse";
import { noWaves } from "./waves/low-band";
import type { Progress } from "./waves/run";

export interface FieldOptions {
  /** hertz, ascending. Default: 240 from 20 Hz to 16 kHz, in equal steps of log frequency. */
  readonly frequency?: Float64Array;
  /**
   * Highest number of reflections of a path, 0 to 8. Default: 2 for subs, since one on the floor before a wall needs both; 1 for
   * mains and fills, whose aim leaves little for a second surface. What is left out of the paths is in the diffuse field.
   */
  readonly order?: number;
  /** Whether boundaries reflect by their size relative to the wavelength, rather than as endless planes. Default true. */
  readonly finiteSize?: boolean;
  /** Whether boundaries shadow what lies behind them. Default true. */
  readonly obstruction?: boolean;
  /** Whether cavities, such as the space under a stage, act on what the wall around their opening reflects; false: boards close them, and a solid block is left. Default true. */
  readonly cavities?: boolean;
  /**
   * The room's diffuse field beside the paths. Default: by the balance of energy for mains and fills; by Barron's law for subs, since the
   * other is checked from 250 Hz on only. None where the venue has no room.
   */
  readonly diffuse?: DiffuseModel;
  /**
   * How sound below 141 Hz is computed. Default: by waves where the venue has a room or a cavity and isn't too large, which
   * `warnings` tell; by paths where it has neither, and where any of `order`, `finiteSize`, `obstruction` and `diffuse` asks
   * something of the paths.
   */
  readonly lowBand?: "waves" | "paths";
  /**
   * Called while waves are computed, many times a second, with the share that is done, 0 to 1; `false` ends them, and what was
   * asked for throws. Not called for what is known already.
   */
  readonly progress?: Progress;
}

export type Settings = Required<Omit<FieldOptions, "progress">> & Pick<FieldOptions, "progress">;

/** Options of a group with their defaults, checked. */
export function settled(venue: Venue, group: Source["group"], options: FieldOptions): Settings {
  const {
    frequency = modelFrequencies(),
    order = group === "subs" ? 2 : 1,
    finiteSize = true,
    obstruction = true,
    cavities = true,
    diffuse = group === "subs" ? "barron" : "energy-balance",
    lowBand = asksOfPaths(options) || noWaves(venue) ? "paths" : "waves",
  } = options;
  requireAscending(frequency);
  const { progress } = options;
  if (progress !== undefined && typeof progress !== "function")
    throw new RangeError(`progress is ${quoted(progress)}, expected a function`);
  return { frequency, order, finiteSize, obstruction, cavities, diffuse, lowBand, progress };
}

/** Whether options ask something that only paths can do. */
export function asksOfPaths({ order, finiteSize, obstruction, diffuse, lowBand }: FieldOptions): boolean {
  if (lowBand) return lowBand === "paths";
  return [order, finiteSize, obstruction, diffuse].some((option) => option !== undefined);
}

function requireAscending(frequency: Float64Array): void {
  frequency.forEach((f, i) => {
    requirePositive(`frequency[${i}]`, f);
    if (i > 0 && !(f > frequency[i - 1])) {
      throw new RangeError(
        `frequency[${i}] is ${f} after ${frequency[i - 1]}, expected ascending frequencies`,
      );
    }
  });
}
