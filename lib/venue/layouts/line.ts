/** Subwoofers side by side along a straight line. */
import type { Layout, LayoutOptions } from "./layout";
import { requireCount, requirePositive, shortestWavelength, spacingWarning, standing } from "./layout";

export interface LineOptions extends LayoutOptions {
  /** How many cabinets, 1 to 1000. */
  readonly count: number;
  /** From centre to centre, metres. */
  readonly spacing: number;
}

/**
 * A spaced line: narrows the pattern across the room, the more the longer the line is in wavelengths.
 *
 * In the far field the level at an angle θ off the axis is that of `count` equal sources,
 * |sin(n k d sin θ / 2) / (n sin(k d sin θ / 2))|. A spacing under half a wavelength keeps the first side lobe of full
 * strength (it enters at 90° where the spacing reaches one wavelength) well out of every direction.
 *
 * @param options  common ones, and `count`, `spacing` in metres; `position` is the middle of the line
 * @returns the cabinets from the axis's right to its left, and a warning where the spacing exceeds λ/2 at `upTo`
 * @throws RangeError when the count is not a whole number from 1 to 1000, or the spacing is not positive
 * @source uniform linear array: Balanis, Antenna Theory, chapter 6 (from memory); check: tests/venue/layouts/layouts.test.ts
 * @example
 * const cabinet = read.venue("pennavoe-assembly-hall").sources.find((s) => s.group === "subs");
 * const position = { x: 0, y: 0, z: 0.3 };
 * // half a wavelength at 100 Hz is 1.72 m
 * layouts.line({ cabinet, position, count: 4, spacing: 1.9 }).warnings.length // 1
 */
export function line(options: LineOptions): Layout {
  const { spacing } = options;
  requirePositive(spacing, "spacing");
  return {
    sources: standing(
      options,
      offsets(options).map((left) => ({ left })),
    ),
    warnings: spacingWarning(
      options,
      spacing,
      shortestWavelength(options) / 2,
      "strong side lobes appear beside the line",
    ),
  };
}

/** Distances from the middle of the line, metres, in ascending order. */
export function offsets({ count, spacing }: Pick<LineOptions, "count" | "spacing">): number[] {
  requireCount(count, "count", 1);
  return Array.from({ length: count }, (_, i) => (i - (count - 1) / 2) * spacing);
}
