/** Subwoofers in a row along the axis that all add up in front. */
import type { Layout, LayoutOptions } from "./layout";
import {
  DEFAULT_SPEED_OF_SOUND,
  requireCount,
  requirePositive,
  shortestWavelength,
  spacingWarning,
  standing,
} from "./layout";

export interface EndFireOptions extends LayoutOptions {
  /** How many cabinets, 2 to 1000. */
  readonly count: number;
  /** From one cabinet's centre to that in front of it, metres. */
  readonly spacing: number;
}

/**
 * An end-fire row: each cabinet waits for the wave from behind, so that all add up in front at every frequency.
 *
 * The rearmost is not delayed, the next by d / c and so on. In front the sum is n cabinets in phase; straight behind it is
 * |sin(n k d) / sin(k d)|, with nulls where d = m λ / (2n), m = 1 … n − 1, and full strength again where d = λ/2. The
 * last null before that return is the upper limit of the spacing: d ≤ (λ/2)(1 − 1/n), which is λ/4 for two.
 *
 * @param options  common ones, and `count`, `spacing` in metres; `position` is the foremost
 * @returns the cabinets from front to rear, and a warning where the spacing exceeds (λ/2)(1 − 1/n) at `upTo`
 * @throws RangeError when the count is not a whole number from 2 to 1000, or the spacing is not positive
 * @source ordinary end-fire array: Balanis, Antenna Theory, chapter 6 (from memory), the limit from its nulls as above; check: tests/venue/layouts/layouts.test.ts
 * @example
 * const cabinet = read.venue("pennavoe-assembly-hall").sources.find((s) => s.group === "subs");
 * const position = { x: 0, y: 0, z: 0.3 };
 * const row = layouts.endFire({ cabinet, position, count: 3, spacing: 1.1 });
 * row.sources.map((s) => 1000 * s.delay) // [6.4, 3.2, 0.0]
 */
export function endFire(options: EndFireOptions): Layout {
  const { count, spacing, speedOfSound = DEFAULT_SPEED_OF_SOUND } = options;
  requireCount(count, "count", 2);
  requirePositive(spacing, "spacing");
  const placings = Array.from({ length: count }, (_, i) => ({
    forward: -i * spacing,
    delay: ((count - 1 - i) * spacing) / speedOfSound,
  }));
  return {
    sources: standing(options, placings),
    warnings: spacingWarning(
      options,
      spacing,
      (shortestWavelength(options) / 2) * (1 - 1 / count),
      "the sound behind the row comes back",
    ),
  };
}
