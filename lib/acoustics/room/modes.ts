/**
 * Modes of a rectangular room with hard walls.
 */
import { requirePositive } from "../../guard/arguments";

export interface RoomMode {
  /** hertz */
  readonly frequency: number;
  /** Number of half waves along length, width and height. */
  readonly order: readonly [number, number, number];
  /** How many pairs of walls take part: one, two or all three. */
  readonly kind: "axial" | "tangential" | "oblique";
}

export interface RoomSides {
  /** metres */
  readonly length: number;
  /** metres */
  readonly width: number;
  /** metres */
  readonly height: number;
}

/**
 * Modes of a rectangular room up to a frequency.
 *
 * @param sides  length, width and height of the room, metres, > 0
 * @param upTo  highest frequency needed, hertz, > 0
 * @param speedOfSound  metres per second, 343.2 by default
 * @returns modes in ascending order of frequency, without the constant one at 0 Hz
 * @throws RangeError when an argument is not positive, or when more than a million modes would come out
 * @source Kuttruff, Room Acoustics, f = (c/2) ((l/Lx)² + (m/Ly)² + (n/Lz)²)^½ (from memory); check: tests/acoustics/room/modes.test.ts
 * @example
 * acoustics.room.modes({ length: 20, width: 10, height: 5 }, 20)[0].frequency // 8.58
 */
export function roomModes(sides: RoomSides, upTo: number, speedOfSound = 343.2): RoomMode[] {
  if (modeCount(sides, upTo, speedOfSound) > 1e6) {
    throw new RangeError(`a million modes and more lie below ${upTo} Hz, expected a lower limit`);
  }
  const { length, width, height } = sides;
  const reach = (2 * upTo) / speedOfSound;
  const modes: RoomMode[] = [];
  for (let l = 0; l <= length * reach; l++) {
    for (let m = 0; m <= width * reach; m++) {
      for (let n = 0; n <= height * reach; n++) {
        const frequency = (speedOfSound / 2) * Math.hypot(l / length, m / width, n / height);
        if (frequency > upTo || frequency === 0) continue;
        const pairs = Math.sign(l) + Math.sign(m) + Math.sign(n);
        modes.push({ frequency, order: [l, m, n], kind: kinds[pairs - 1] });
      }
    }
  }
  return modes.sort((a, b) => a.frequency - b.frequency);
}

/**
 * Expected number of modes below a frequency, smoothed over the steps of the true count.
 *
 * @param sides  metres, > 0
 * @param frequency  hertz, > 0
 * @param speedOfSound  metres per second
 * @returns number of modes, not whole
 * @throws RangeError when an argument is not positive
 * @source Kuttruff, Room Acoustics, 4πV f³/(3c³) + πS f²/(4c²) + L f/(8c), L the sum of all twelve edges (from memory); check: tests/acoustics/room/modes.test.ts
 */
export function modeCount(
  { length, width, height }: RoomSides,
  frequency: number,
  speedOfSound = 343.2,
): number {
  requirePositive("length", length);
  requirePositive("width", width);
  requirePositive("height", height);
  requirePositive("frequency", frequency);
  requirePositive("speed of sound", speedOfSound);
  const volume = length * width * height;
  const surface = 2 * (length * width + width * height + length * height);
  const edges = 4 * (length + width + height);
  const perMetre = frequency / speedOfSound;
  return (
    (4 / 3) * Math.PI * volume * perMetre ** 3 +
    (Math.PI / 4) * surface * perMetre ** 2 +
    (edges * perMetre) / 8
  );
}

const kinds = ["axial", "tangential", "oblique"] as const;
