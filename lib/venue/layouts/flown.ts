/** Subwoofers in a straight flown array. */
import type { Layout, LayoutOptions } from "./layout";
import { requireCount, requirePositive, shortestWavelength, spacingWarning, standing } from "./layout";

export interface FlownOptions extends Omit<LayoutOptions, "position"> {
  /** Middle of the front of the uppermost cabinet's top edge, metres. */
  readonly top: LayoutOptions["position"];
  readonly count: number;
  /** From centre to centre, metres; the cabinet's height by default. */
  readonly spacing?: number;
}

/**
 * A flown column: evens out front and back by its height, and narrows the pattern up and down as its length grows.
 *
 * It follows the same law as a line, turned upright: neighbours under half a wavelength apart. How it hangs is for people
 * qualified in rigging.
 *
 * @param options  common ones, `top`, `count`, and `spacing` in metres
 * @returns the cabinets from the top down, and a warning where the spacing exceeds λ/2 at `upTo`
 * @throws RangeError when the count or the spacing is not positive
 * @source uniform linear array: Balanis, Antenna Theory, chapter 6 (from memory); check: tests/venue/layouts/layouts.test.ts
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
