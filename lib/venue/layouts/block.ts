/** Subwoofers in one stack. */
import type { Layout, LayoutOptions } from "./layout";
import { requireCount, shortestWavelength, spacingWarning, standing } from "./layout";

export interface BlockOptions extends LayoutOptions {
  /** Cabinets side by side, 1 to 1000. Default 1. */
  readonly across?: number;
  /** Cabinets on top of each other, 1 to 1000. Default 1. */
  readonly high?: number;
}

/**
 * A centre block: cabinets side by side and on top of each other, touching.
 *
 * The cabinets act as one as long as neighbours are less than half a wavelength apart. The sum on axis is that of all
 * of them in phase, 20 lg n above one; the block as a whole narrows the pattern once it is wider than half a wavelength.
 *
 * @param options  common ones, and `across`, `high`; `position` is the middle of the bottom row
 * @returns the cabinets row by row from the bottom, and a warning where neighbours are more than λ/2 apart at `upTo`
 * @throws RangeError when a count is not a whole number from 1 to 1000
 * @source sum of equal sources in phase; check: tests/venue/layouts/layouts.test.ts
 * @example
 * const cabinet = read.venue("pennavoe-assembly-hall").sources.find((s) => s.group === "subs"); // 0.6 m high
 * const position = { x: 0, y: 0, z: 0.3 };
 * layouts.block({ cabinet, position, high: 3 }).sources.map((s) => s.point.z) // [0.3, 0.9, 1.5]
 */
export function block(options: BlockOptions): Layout {
  const { across = 1, high = 1, cabinet } = options;
  requireCount(across, "across", 1);
  requireCount(high, "high", 1);
  const { width, height } = cabinet.size;
  const placings = Array.from({ length: across * high }, (_, i) => ({
    left: ((i % across) - (across - 1) / 2) * width,
    up: Math.floor(i / across) * height,
  }));
  const widest = Math.max(across > 1 ? width : 0, high > 1 ? height : 0);
  return {
    sources: standing(options, placings),
    warnings: spacingWarning(
      options,
      widest,
      shortestWavelength(options) / 2,
      "the stack no longer acts as one",
    ),
  };
}
