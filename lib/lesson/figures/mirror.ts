import type { Figure } from "./parts/figure";
import { type SketchPoint, sketchFigure } from "./parts/sketch";

export interface MirrorOptions {
  /** Distance of the wall behind the sub, metres. */
  readonly wall: number;
  /** Where the listener is: metres before the sub, and across (or up). The sub is at 0, 0 unless `sub` says so. */
  readonly ear: SketchPoint;
  readonly sub?: SketchPoint;
  readonly title?: string;
  readonly yTitle?: string;
  /** Spans that are always shown, metres, so that the drawing keeps its scale. */
  readonly across?: readonly [number, number];
  readonly up?: readonly [number, number];
}

/**
 * A sub, a wall behind it, the mirror image in the wall, and the two ways to a listener, to scale.
 *
 * @param options  where wall and listener are
 * @throws RangeError when the wall is not behind the sub, or the listener is behind the wall
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
