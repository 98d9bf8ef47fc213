/** What every layout of subwoofers has in common: which cabinet, where, which way, and what its makers must mind. */

import type { Orientation } from "../../acoustics/directivity/pattern";
import type { Point } from "../../acoustics/point";
import { cabinetOf } from "../cabinet";
import { step } from "../direction";
import type { Cabinet, Filter, Source } from "../venue";

export interface LayoutOptions {
  /** What every cabinet of it is: level, pattern and size, such as those of a venue's sub. */
  readonly cabinet: Cabinet;
  /** Where the layout stands: middle of the front of its cabinet, or of the one at the bottom; metres. */
  readonly position: Point;
  /** Unit vector along which the layout plays; to the back of the room by default. */
  readonly axis?: Point;
  /** Unit vector perpendicular to the axis; straight up by default. */
  readonly up?: Point;
  /** Name from which each cabinet's id is made. Default "sub". */
  readonly id?: string;
  /** What the cabinets belong to. Default "subs". */
  readonly group?: Source["group"];
  /** Highest frequency at which the layout must work, hertz: its crossover. Default 100. */
  readonly upTo?: number;
  /** Metres per second. Default 343.2, dry air at 20 °C. */
  readonly speedOfSound?: number;
  /** Gain of all cabinets, dB. Default 0. */
  readonly gain?: number;
  /** Delay of all cabinets, seconds, positive is later. Default 0. */
  readonly delay?: number;
  /** Of all cabinets, 1 normal, −1 inverted. Default 1. */
  readonly polarity?: 1 | -1;
  /** Filters of all cabinets; none by default. */
  readonly filters?: readonly Filter[];
}

/** Cabinets as they stand, and what to mind about them. */
export interface Layout {
  /** The cabinets, each with its position, delay, gain and polarity. */
  readonly sources: readonly Source[];
  /** One sentence for each limit that is exceeded; empty where all is well. */
  readonly warnings: readonly string[];
}

/** A cabinet's place within its layout. */
export interface Placing {
  readonly forward?: number;
  readonly left?: number;
  readonly up?: number;
  readonly gain?: number;
  readonly delay?: number;
  readonly inverted?: boolean;
}

export const DEFAULT_UP_TO = 100;
/** Metres per second, dry air at 20 °C; a venue passes its own. */
export const DEFAULT_SPEED_OF_SOUND = 343.2;

/** Sources from places relative to the layout's position and axis. */
export function standing(options: LayoutOptions, placings: readonly Placing[]): Source[] {
  const { cabinet, position, id = "sub", group = "subs", gain = 0, delay = 0, polarity = 1 } = options;
  const facing = facingOf(options);
  return placings.map((placing, i) => ({
    id: placings.length > 1 ? `${id} ${i + 1}` : id,
    group,
    point: step(position, facing, placing),
    ...facing,
    ...cabinetOf(cabinet),
    gain: gain + (placing.gain ?? 0),
    delay: delay + (placing.delay ?? 0),
    polarity: placing.inverted ? (polarity === 1 ? -1 : 1) : polarity,
    filters: options.filters ?? [],
  }));
}

export function facingOf({
  axis = { x: 1, y: 0, z: 0 },
  up = { x: 0, y: 0, z: 1 },
}: LayoutOptions): Orientation {
  return { axis, up };
}

/** Wavelength at the highest frequency used, metres. */
export function shortestWavelength({
  upTo = DEFAULT_UP_TO,
  speedOfSound = DEFAULT_SPEED_OF_SOUND,
}: LayoutOptions): number {
  return requirePositive(speedOfSound, "speedOfSound") / requirePositive(upTo, "upTo");
}

/** A warning where a spacing is wider than its limit, else nothing. */
export function spacingWarning(
  options: LayoutOptions,
  spacing: number,
  limit: number,
  consequence: string,
): string[] {
  if (spacing <= limit * (1 + 1e-9)) return [];
  const { id = "sub", upTo = DEFAULT_UP_TO } = options;
  return [
    `${id}: cabinets ${spacing.toFixed(2)} m apart, at most ${limit.toFixed(2)} m up to ${upTo} Hz: ${consequence}`,
  ];
}

export function requirePositive(value: number, what: string): number {
  if (!(value > 0 && Number.isFinite(value)))
    throw new RangeError(`${what} is ${value}, expected more than 0`);
  return value;
}

export function requireCount(value: number, what: string, least: number): number {
  if (!(Number.isInteger(value) && value >= least && value <= 1000)) {
    throw new RangeError(`${what} is ${value}, expected a whole number from ${least} to 1000`);
  }
  return value;
}
