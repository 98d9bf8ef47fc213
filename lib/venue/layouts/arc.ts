/** A straight line of subwoofers that plays as wide as if it were bent. */
import type { Layout } from "./layout";
import {
  DEFAULT_SPEED_OF_SOUND,
  requirePositive,
  shortestWavelength,
  spacingWarning,
  standing,
} from "./layout";
import type { LineOptions } from "./line";
import { offsets } from "./line";

export interface ArcOptions extends LineOptions {
  /** Whole angle to be covered, radians, more than 0 and less than π. */
  readonly openingAngle: number;
}

/**
 * A delayed arc: each cabinet starts when a wave from one point behind the line would pass it.
 *
 * With the virtual point D behind the middle of a line of length L, tan(α/2) = (L/2) / D, and the cabinet at an
 * offset y is delayed by (√(D² + y²) − D) / c. The wavefront is a circle about that point, so the outermost cabinets send
 * at half the opening angle. Steering by θ lowers the spacing at which a side lobe of full strength enters to
 * λ / (1 + sin θ): half a wavelength is below that for every θ, and so is the limit here as for a straight line.
 * Where the line is short relative to the wavelength no delay makes it wider than it is already.
 *
 * @param options  those of a line, and `openingAngle` in radians
 * @returns the cabinets, and a warning where the spacing exceeds λ/2 at `upTo`
 * @throws RangeError when the angle is not between 0 and π, the count is not a whole number from 1 to 1000, or the spacing is
 *   not positive
 * @source geometry of one virtual source; steered array: Balanis, Antenna Theory, chapter 6 (from memory);
 *   check: tests/venue/layouts/layouts.test.ts
 * @example
 * const cabinet = read.venue("pennavoe-assembly-hall").sources.find((s) => s.group === "subs");
 * const position = { x: 0, y: 0, z: 0.3 };
 * const bent = layouts.arc({ cabinet, position, count: 3, spacing: 2, openingAngle: Math.PI / 2 });
 * // the virtual source lies 2 m behind: (√8 − 2) m later at the ends
 * bent.sources.map((s) => 1000 * s.delay) // [2.41, 0.00, 2.41]
 */
export function arc(options: ArcOptions): Layout {
  const { spacing, openingAngle, speedOfSound = DEFAULT_SPEED_OF_SOUND } = options;
  requirePositive(spacing, "spacing");
  if (!(openingAngle > 0 && openingAngle < Math.PI)) {
    throw new RangeError(`openingAngle is ${openingAngle}, expected radians more than 0 and less than π`);
  }
  const positions = offsets(options);
  const behind = -positions[0] / Math.tan(openingAngle / 2);
  return {
    sources: standing(
      options,
      positions.map((left) => ({ left, delay: (Math.hypot(behind, left) - behind) / speedOfSound })),
    ),
    warnings: spacingWarning(
      options,
      spacing,
      shortestWavelength(options) / 2,
      "strong side lobes appear beside the line",
    ),
  };
}
