/** Shares of a survey's places, which several threads take from a list and write into memory that they have in common. */
import type { Point } from "../acoustics/point";
import type { OffsetOptions } from "../decision/offset/result";
import { pathsFrom, roomField } from "../field/model-survey";
import { settled } from "../field/options";
import type { Position } from "../survey/survey";
import type { Venue } from "../venue/venue";
import type { Sender } from "./sent";

export interface SharedModel {
  readonly venue: Venue;
  readonly positions: readonly Position[];
  readonly frequency: Float64Array;
  readonly groups: readonly Group[];
  /** The first frequency that paths are asked for, by its number: below, waves answer. */
  readonly from: number;
  /** Responses of all places: group by group, place by place, re, im and diffuse field over frequency. */
  readonly values: Float64Array;
  /** One of `states` per share of `SHARE` places, in shared memory. */
  readonly state: Int32Array;
}

/** What a thread gets to do for a survey. */
export interface ModelWork {
  readonly model: SharedModel;
  /** For the one that computes the waves. */
  readonly waves?: Sender;
  /** For the one that compares the venue's layouts of subs. */
  readonly layouts?: { readonly settings: OffsetOptions; readonly to: Sender };
}

export type Group = "mains" | "subs" | "fills";
export const parts = ["re", "im", "diffuse"] as const;
export const states = { free: 0, taken: 1, done: 2, failed: 3 } as const;
/** Places in a share: few, so that all threads end at nearly the same time. */
export const SHARE = 16;

/** Where a part of a response lies in shared memory. */
export function slot(model: SharedModel, group: number, place: number, part: number): Float64Array {
  const { values, positions, frequency } = model;
  const at = ((group * positions.length + place) * parts.length + part) * frequency.length;
  return values.subarray(at, at + frequency.length);
}

/** Makes the function that computes the share of an index. */
export function shareComputer(model: SharedModel): (share: number) => void {
  const { venue, positions, frequency, groups, state, from } = model;
  const fields = groups.map((group) => {
    const sources = venue.sources.filter((s) => s.group === group);
    const settings = settled(venue, group, { frequency });
    const [paths, room] = [pathsFrom(venue, sources, settings, from), roomField(venue, sources, settings)];
    return (point: Point) => ({ ...paths(point), diffuse: room?.(point) });
  });
  return (share) => {
    const first = share * SHARE;
    positions.slice(first, first + SHARE).forEach(({ point }, i) => {
      fields.forEach((at, group) => {
        const found = at(point);
        parts.forEach((part, p) => {
          const values = found[part];
          if (values) slot(model, group, first + i, p).set(values);
        });
      });
    });
    Atomics.store(state, share, states.done);
    Atomics.notify(state, share);
  };
}

/** Computes shares as long as one is free. */
export function computeFreeShares({ state }: SharedModel, compute: (share: number) => void): void {
  for (let share = 0; share < state.length; share++) {
    if (Atomics.compareExchange(state, share, states.free, states.taken) !== states.free) continue;
    try {
      compute(share);
    } catch (error) {
      Atomics.store(state, share, states.failed);
      Atomics.notify(state, share);
      throw error;
    }
  }
}
