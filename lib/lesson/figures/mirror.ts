import type { Figure } from "./parts/figure";
import { type SketchPoint, sketchFigure } from "./parts/sketch";

export interface MirrorOptions {
  /** Distance of the wall behind the sub, metres. */
  readonly wall: number;
  /** Where the listener is, metres: along the axis on which the sub is at 0, and across (or up). */
  readonly ear: SketchPoint;
  /** Where the sub is, metres likewise. Default `[0, 0]`. */
  readonly sub?: SketchPoint;
  /** Above the figure. Default "From above, to scale". */
  readonly title?: string;
  /** What the vertical axis is, with the unit. Default "Across (m)". */
  readonly yTitle?: string;
  /** Span of the horizontal axis, metres, so that drawings keep one scale; what is drawn, with a margin, by default. */
  readonly across?: readonly [number, number];
  /** Span of the vertical axis, likewise. */
  readonly up?: readonly [number, number];
}

/**
 * A sub, a wall behind it, the mirror image in the wall, and the two paths to a listener, to scale.
 *
 * Across: distance from the sub (m), the wall to its left. Up: across the room (m), or height where `yTitle` says so. The
 * length of each path (m) is written in the corner: their difference is what the reflection comes later, and decides where
 * it cancels.
 *
 * @param options  where wall, sub and listener are
 * @returns a figure, for `show`
 * @throws RangeError when the wall is not behind the sub, or the listener is behind the wall
 * @source image source at a plane wall: Kuttruff, Room Acoustics (from memory); check:
 *   tests/lesson/figures/lesson-figures.test.ts
 * @example
 * // direct 12.0 m, over the wall 12 + 2 · 1.65 = 15.3 m
 * show(draw.mirror({ wall: 1.65, ear: [12, 0] }));
 */
export function mirrorFigure(options: MirrorOptions): Figure {
  const { wall, ear, sub = [0, 0], title = "From above, to scale" } = options;
  const at = sub[0] - wall;
  if (!(wall > 0 && ear[0] > at))
    throw new RangeError(
      `the wall is ${wall} m behind the sub and the ear at ${ear[0]} m: expected it before the wall`,
    );
  const image: SketchPoint = [sub[0] - 2 * wall, sub[1]];
  const fraction = wall / (ear[0] - image[0]);
  const bounce: SketchPoint = [at, image[1] + (ear[1] - image[1]) * fraction];
  const direct = Math.hypot(ear[0] - sub[0], ear[1] - sub[1]);
  const reflected = Math.hypot(ear[0] - image[0], ear[1] - image[1]);
  const up = options.up ?? [Math.min(sub[1], ear[1]) - 1.5, Math.max(sub[1], ear[1]) + 2.5];
  return sketchFigure({
    title,
    xTitle: "Distance from the sub (m)",
    yTitle: options.yTitle ?? "Across (m)",
    across: options.across ?? [image[0] - 2, ear[0] + 1],
    up,
    marks: [
      { name: "sub", at: sub, look: "subs", side: "below" },
      { name: "image", at: image, look: "image" },
      { name: "ear", at: ear, look: "ear" },
    ],
    paths: [
      { points: [sub, ear], look: "subs", label: "" },
      { points: [sub, bounce, ear], look: "mark", label: "" },
      { points: [image, bounce], look: "mark", dash: "dot", label: "" },
    ],
    walls: [{ name: "wall", from: [at, up[0]], to: [at, up[1] - 0.8] }],
    notes: [
      { text: `direct ${direct.toFixed(1)} m`, look: "subs" },
      { text: `over the wall ${reflected.toFixed(1)} m`, look: "mark" },
    ],
  });
}
