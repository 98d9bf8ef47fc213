/** Subwoofers left and right of the stage. */
import { mirrored } from "../direction";
import type { BlockOptions } from "./block";
import { block } from "./block";
import type { Layout } from "./layout";
import { facingOf, shortestWavelength, spacingWarning } from "./layout";

/**
 * A left/right pair: a stack and its mirror image on the other side of the centre line.
 *
 * On the centre line both add by 6.02 dB. Beside it the path lengths differ by up to the separation s, and they cancel where the
 * difference is an odd number of half wavelengths: none of this happens only while s < λ/2, that is below c / (2 s).
 * A usual pair is much wider than that, and the warning says that the room gets a power alley with nulls on both sides.
 *
 * @param options  those of a block; `position` is that of the stack on house left, or of either
 * @returns the cabinets of the stack at `position`, then its mirror images; a warning where 2 |y| exceeds λ/2 at `upTo`
 * @throws RangeError when the stack stands on the centre line, or a count is not a whole number from 1 to 1000
 * @source two coherent sources; check: tests/venue/layouts/layouts.test.ts
 * @example
 * const cabinet = read.venue("pennavoe-assembly-hall").sources.find((s) => s.group === "subs");
 * const pair = layouts.pair({ cabinet, position: { x: 0, y: 3, z: 0.3 } });
 * pair.sources.map((s) => s.point.y) // [3, -3]
 */
export function pair(options: BlockOptions): Layout {
  const { position, id = "sub" } = options;
  if (position.y === 0) throw new RangeError("position.y is 0, expected a position beside the centre line");
  const facing = facingOf(options);
  const here = position.y > 0 ? "left" : "right";
  const there = position.y > 0 ? "right" : "left";
  const one = block({ ...options, id: `${id} ${here}` });
  const other = block({
    ...options,
    id: `${id} ${there}`,
    position: mirrored(position),
    axis: mirrored(facing.axis),
    up: mirrored(facing.up),
  });
  return {
    sources: [...one.sources, ...other.sources],
    warnings: [
      ...one.warnings,
      ...spacingWarning(
        options,
        2 * Math.abs(position.y),
        shortestWavelength(options) / 2,
        "left and right cancel beside the centre line: a power alley with nulls on both sides",
      ),
    ],
  };
}
