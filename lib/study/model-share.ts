/** A share of a survey's places, written into memory that several threads have in common. */
import { modelSurvey } from "../field/model-survey";
import type { Position } from "../survey/survey";
import type { Venue } from "../venue/venue";

/** What one thread has to do, and where its results go. */
export interface Share {
  readonly venue: Venue;
  readonly positions: readonly Position[];
  readonly frequency: Float64Array;
  /** Index of the first of these positions in the whole survey. */
  readonly first: number;
  readonly memory: SharedResponses;
  /** Set to 1 when done, to 2 when it failed. */
  readonly done: Int32Array;
}

/** Responses of all places: group by group, place by place, re, im, diffuse and coherence over frequency. */
export interface SharedResponses {
  readonly values: Float64Array;
  readonly places: number;
  readonly groups: readonly Group[];
  readonly frequencies: number;
}

export type Group = "mains" | "subs" | "fills";
export const parts = ["re", "im", "diffuse", "coherence"] as const;

/** Where a part of a response lies in shared memory. */
export function slot(memory: SharedResponses, group: number, place: number, part: number): Float64Array {
  const at = ((group * memory.places + place) * parts.length + part) * memory.frequencies;
  return memory.values.subarray(at, at + memory.frequencies);
}

/** Computes a share and says so. */
export function computeShare({ venue, positions, frequency, first, memory, done }: Share): void {
  try {
    const survey = modelSurvey(venue, positions, { frequency });
    memory.groups.forEach((group, g) => {
      survey[group]?.forEach((response, i) => {
        parts.forEach((part, p) => {
          const values = response[part];
          if (values) slot(memory, g, first + i, p).set(values);
        });
      });
    });
    Atomics.store(done, 0, 1);
  } catch {
    Atomics.store(done, 0, 2);
  }
  Atomics.notify(done, 0);
}
