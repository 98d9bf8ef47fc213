/**
 * The survey: where one listened, for how many people each place stands, and what mains and subs do there.
 *
 * A model and a measurement both end in a survey; whatever decides, draws, teaches or reports starts from one.
 */
import type { Point } from "../acoustics/point";
import type { Response } from "../acoustics/response";

/** Where an ear or a microphone is. */
export interface Position {
  /** Name, unique within the survey, such as "stalls 7-12" or "row F". */
  readonly id: string;
  /** Where it is, metres. */
  readonly point: Point;
  /** The part of the audience, or of the venue, it belongs to, such as "stalls" or "front of house". */
  readonly area: string;
  /** Number of people that it stands for; 0 where no audience is, such as at the mix position. */
  readonly people: number;
}

/** Positions and the responses of mains and subs there, whether predicted or measured. */
export interface Survey {
  /** Where it came from, in words for captions: "model of …", "measured on …". */
  readonly name: string;
  /** "pressure": responses are pascals, rms in one third octave; "ratio": transfer functions, levels are relative. */
  readonly quantity: "pressure" | "ratio";
  /** The frequencies of every response, hertz, ascending. */
  readonly frequency: Float64Array;
  /** Where it was predicted or measured, and how many people each position stands for. */
  readonly positions: readonly Position[];
  /** The mains alone: one response per position, in the order of `positions`. */
  readonly mains: readonly Response[];
  /** The subs alone, likewise. */
  readonly subs: readonly Response[];
  /** Front fills and delays, where they are kept apart from the mains; they sum with both. */
  readonly fills?: readonly Response[];
  /** Mains and subs together, where this was measured too. */
  readonly both?: readonly Response[];
  /** What to bear in mind before it is relied on, a sentence each, such as positions that no sound reaches; absent where there is nothing such. */
  readonly warnings?: readonly string[];
}
