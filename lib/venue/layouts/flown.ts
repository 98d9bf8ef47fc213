/** Subwoofers in a straight flown array. */
import type { Layout, LayoutOptions } from "./layout";
import { requireCount, requirePositive, shortestWavelength, spacingWarning, standing } from "./layout";

export interface FlownOptions extends Omit<LayoutOptions, "position"> {
  /** Middle of the front of the uppermost cabinet's top edge, metres. */
  readonly top: LayoutOptions["position"];
  /** How many cabinets, 1 to 1000. */
  readonly count: number;
  /** From centre to centre, metres; the cabinet's height by default. */
  readonly spacing?: number;
}

/**
 * A flown array: evens out front and back by its height, and narrows the pattern up and down as its length grows.
 *
 * It follows the same law as a line, turned vertical: neighbours under half a wavelength apart. How it hangs is for people
 * qualified in rigging.
 *
 * @param options  common ones, `top`, `count`, and `spacing` in metres
 * @returns the cabinets from the top down, and a warning where the spacing exceeds λ/2 at `upTo`
 * @throws RangeError when the count is not a whole number from 1 to 1000, or the spacing is not positive
 * @source uniform linear array: Balanis, Antenna Theory, chapter 6 (from memory); check: tests/venue/layouts/layouts.test.ts
 * @example
 * const cabinet = read.venue("pennavoe-assembly-hall").sources.find((s) => s.group === "subs"); // 0.6 m high
 * const array = layouts.flown({ cabinet, top: { x: 0, y: 0, z: 8 }, count: 4 });
 * array.sources.map((s) => s.point.z) // [7.7, 7.1, 6.5, 5.9]
 */
export function flown({ top, ...options }: FlownOptions): Layout {
  const { count, cabinet, spacing = cabinet.size.height } = options;
  requireCount(count, "count", 1);
  requirePositive(spacing, "spacing");
  const at: LayoutOptions = { ...options, position: top };
  const placings = Array.from({ length: count }, (_, i) => ({ up: -cabinet.size.height / 2 - i * spacing }));
  return {
    sources: standing(at, placings),
    warnings:
      count > 1
        ? spacingWarning(at, spacing, shortestWavelength(at) / 2, "the array no longer acts as one")
        : [],
  };
}
