/** A hang: elements one below the other, each tilted against the one above. */

import type { Point } from "../acoustics/point";
import { cabinetOf } from "./cabinet";
import { orientation, step } from "./direction";
import type { Cabinet, Filter, Source } from "./venue";

export interface HangOptions {
  readonly id: string;
  readonly group?: Source["group"];
  readonly cabinet: Cabinet;
  /** Middle of the front of the uppermost element's top edge, metres. */
  readonly top: Point;
  readonly elements: number;
  /** Degrees: the uppermost element's, toward house left positive and below the horizontal positive. */
  readonly aim: { readonly horizontal: number; readonly down: number };
  /** Degrees from each element to the next one below: one for all, or one for each gap. */
  readonly splay: number | readonly number[];
  /** From centre to centre, metres; the cabinet's height by default. */
  readonly spacing?: number;
  /** Gain of each element from the top down, dB. */
  readonly shading?: readonly number[];
  readonly gain?: number;
  readonly delay?: number;
  readonly polarity?: 1 | -1;
  readonly filters?: readonly Filter[];
}

/**
 * The elements of a hang, from the top down.
 *
 * Neighbours meet at the front: from the middle of each element the line runs half a spacing down along its own front,
 * then half a spacing along the next one's.
 *
 * @param options  see `HangOptions`
 * @returns one source per element
 * @throws RangeError when splay or shading are lists of another length than the hang needs
 */
export function hang(options: HangOptions): Source[] {
  const { id, cabinet, top, elements, aim, gain = 0, spacing = cabinet.size.height } = options;
  const splay = perGap(options.splay, elements);
  const shading = options.shading ?? Array.from({ length: elements }, () => 0);
  if (shading.length !== elements) {
    throw new RangeError(`shading has ${shading.length} values, expected ${elements}, one for each element`);
  }
  let down = aim.down;
  let facing = orientation(aim.horizontal, down);
  let edge = step(top, facing, { up: (spacing - cabinet.size.height) / 2 });
  return Array.from({ length: elements }, (_, i) => {
    if (i) {
      down += splay[i - 1];
      facing = orientation(aim.horizontal, down);
    }
    const point = step(edge, facing, { up: -spacing / 2 });
    edge = step(edge, facing, { up: -spacing });
    return {
      id: `${id} ${i + 1}`,
      group: options.group ?? "mains",
      point,
      ...facing,
      ...cabinetOf(cabinet),
      gain: gain + shading[i],
      delay: options.delay ?? 0,
      polarity: options.polarity ?? 1,
      filters: options.filters ?? [],
    };
  });
}

function perGap(splay: number | readonly number[], elements: number): readonly number[] {
  if (typeof splay === "number") return Array.from({ length: elements - 1 }, () => splay);
  if (splay.length !== elements - 1) {
    throw new RangeError(`splay has ${splay.length} angles, expected ${elements - 1}, one for each gap`);
  }
  return splay;
}
