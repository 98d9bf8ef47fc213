/** Subwoofers one behind the other that cancel toward the stage. */
import type { Layout, LayoutOptions } from "./layout";
import {
  DEFAULT_SPEED_OF_SOUND,
  requirePositive,
  shortestWavelength,
  spacingWarning,
  standing,
} from "./layout";

export interface GradientOptions extends LayoutOptions {
  /** Two make a cardioid, three its square. Default 2. */
  readonly elements?: 2 | 3;
  /** From one cabinet's centre to that behind it, metres. */
  readonly spacing: number;
}

/**
 * A gradient pair or triple: cabinets behind the first are inverted and delayed so that nothing is left behind.
 *
 * Two: the rear one is inverted and delayed by d / c. At an angle θ off the axis the sum is |1 − e^{−jkd(1 + cos θ)}|: nothing
 * straight behind at any frequency, 2 |sin kd| in front, greatest (6.02 dB over one cabinet) where d = λ/4, nothing in
 * front where d = λ/2. Below d = λ/12 and above d = 5λ/12 it is weaker in front than one cabinet alone: the upper limit.
 * Three: weights 1, −2, 1 and delays 0, d/c, 2d/c give the square of that, 4 sin² kd in front; the middle one
 * plays 6.02 dB louder, so two cabinets stand there in practice.
 *
 * @param options  common ones, `elements` 2 or 3, and `spacing` in metres; `position` is the foremost
 * @returns the cabinets from front to rear, and a warning where the spacing exceeds 5λ/12 at `upTo`
 * @throws RangeError when the spacing is not positive
 * @source first- and second-order gradient: Olson, Acoustical Engineering (from memory); check: tests/venue/layouts/layouts.test.ts
 * @example
 * const cabinet = read.venue("pennavoe-assembly-hall").sources.find((s) => s.group === "subs");
 * const position = { x: 0, y: 0, z: 0.3 };
 * const two = layouts.gradient({ cabinet, position, spacing: 1 }).sources;
 * two.map((s) => 1000 * s.delay) // [0.00, 2.91]
 */
export function gradient(options: GradientOptions): Layout {
  const { elements = 2, spacing, speedOfSound = DEFAULT_SPEED_OF_SOUND } = options;
  requirePositive(spacing, "spacing");
  const delay = spacing / speedOfSound;
  const placings =
    elements === 2
      ? [{}, { forward: -spacing, delay, inverted: true }]
      : [
          {},
          { forward: -spacing, delay, inverted: true, gain: 20 * Math.log10(2) },
          { forward: -2 * spacing, delay: 2 * delay },
        ];
  return {
    sources: standing(options, placings),
    warnings: spacingWarning(
      options,
      spacing,
      (5 / 12) * shortestWavelength(options),
      "in front it is weaker than one cabinet alone",
    ),
  };
}
