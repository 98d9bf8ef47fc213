/** What every kind of exercise has in common: a hidden truth, answers with a price for the audience, and tempting mistakes. */
import type { Survey } from "../../survey/survey";
import { quoted } from "../../text/quoted";
import type { NamedPoint, Venue } from "../../venue/venue";
import type { Polarity } from "../reading/polarity";
import type { Misconception } from "./misconceptions";
import type { MicrophoneFault } from "./truth/microphone-faults";
import type { Suspect } from "./truth/suspects";

/** What an exercise of the list says about itself. */
export interface Entry {
  /** Short name, unique in the list. */
  readonly id: string;
  /** 1 one decision, 2 a decision with a trap, 3 several decisions at once. */
  readonly level: 1 | 2 | 3;
  /** File name in data/venues, without its ending. */
  readonly venue: string;
  /** What the student meets, a sentence or two. */
  readonly situation: string;
  /** What one should have learned by it. */
  readonly point: string;
  /** Microphones one may place. */
  readonly microphones: number;
  /** Rooms among its variants, where each has not one of its own. */
  readonly rooms?: number;
  readonly setUp: SetUp;
}

/** Makes the hidden truth of one variant. */
export type SetUp = (venue: Venue, random: () => number, entry: Entry) => Task;

/** One variant of an exercise: what is asked, and what each answer would do to the audience. */
export interface Task {
  /** What the student is to decide, and in which form the answer is wanted. */
  readonly question: string;
  /** The drawing that the student gets; faults are not in it. */
  readonly drawing: Venue;
  /** What really stands there. */
  readonly truth: Venue;
  /** Places worth a name, for the drawing. */
  readonly positions?: readonly NamedPoint[];
  /** What may be otherwise than drawn, where something is. */
  readonly suspects?: readonly Suspect[];
  /** What is wrong with one of the microphones. */
  readonly fault?: MicrophoneFault;
  /** What a microphone does to what it hears, where one is not in order. */
  readonly microphone?: (position: NamedPoint, heard: Survey) => Survey;
  /** Answers there are, where they are choices. */
  readonly choices?: readonly Answer[];
  /** An answer as the student wrote it; RangeError where it can't be one. */
  readonly read: (answer: unknown) => Answer;
  /** Judges answers by what the audience gets at the seats at which no microphone stood; as it is where no seat decides. */
  readonly judge: Judge | ((audience: Survey) => Judge);
  /** What microphones by themselves would answer, where it is a number: tells who followed them. */
  readonly decided?: (heard: Survey) => number;
  /** Which kind of loss the cost is, such as "deviation of the audience, rms". */
  readonly loss: string;
  /** What the loss is counted from, where it isn't the seats far from all microphones. */
  readonly counted?: string;
  /** Whether seats at which a microphone stood count as well: where the worst one decides, leaving it out makes another question. */
  readonly measuredToo?: boolean;
  /** Unit of an answer that is a number. */
  readonly unit?: "dB" | "ms" | "cabinets";
  /** Loss over the best one at which nothing is left of the score, dB; with choices the worst of them is the measure. */
  readonly span?: number;
  /** The same in words, where it isn't a number of decibels: "where the subs end up 2.5 dB off". */
  readonly nothingLeft?: string;
  /** When somebody counts as served, after "people": "within 3 dB of the target". */
  readonly served?: string;
  /** What to know for next time, with the formula or the reason. */
  readonly why: string;
}

export type Answer = number | string | Setting | PlaceAnswer | readonly PositionChoice[];

/** Where to mix, where not, and what is heard there. */
export interface PlaceAnswer {
  /** Name of the best position. */
  readonly place: string;
  /** Name of the worst. */
  readonly last: string;
  /** What is heard at the worst relative to the audience's mean, dB; positive is more bass. */
  readonly correction: number;
}

/** Delay, polarity and level of the subs together. */
export interface Setting {
  /** Of the subs, dB; positive is louder. */
  readonly offset: number;
  /** Of the subs, milliseconds; positive is later, negative delays the mains instead. */
  readonly delay: number;
  readonly polarity: Polarity;
}

/** Where a microphone may stand: a position of the drawing by its name, or metres in plan. */
export type PositionChoice =
  | string
  | {
      readonly x: number;
      readonly y: number;
      /** Part of the audience, where several lie above each other. Default: the lowest. */
      readonly area?: string;
    };

export interface Judge {
  /** What the audience loses by an answer, dB. */
  cost(answer: Answer): number;
  readonly best: Answer;
  /** Fraction of the people whom an answer serves, 0 to 1; the task's `served` says how well. */
  people?(answer: Answer): number;
  /** Loss over the best one at which nothing is left of the score, dB, where it follows from the audience. */
  readonly span?: number;
  /** Which mistake leads to an answer that is not good enough. */
  misconception(answer: Answer): Misconception;
  /** The best answer in words, where its numbers alone do not say it. */
  readonly bestInWords?: string;
  /** An answer as a student would write it, where `best` is only what it leads to. Takes a moment to find. */
  example?(): Answer;
}

/** A number within limits, or a sentence that says what was expected. */
export function readNumber(answer: unknown, what: string, low: number, high: number): number {
  if (typeof answer !== "number" || !(answer >= low && answer <= high)) {
    throw new RangeError(
      `the answer is ${quoted(answer)}, expected ${what}: one number from ${low} to ${high}, such as check(${Math.round((low + 2 * high) / 3)})`,
    );
  }
  return answer;
}

/** One of the choices, or a sentence that lists them. */
export function readChoice<C extends Answer>(answer: unknown, choices: readonly C[]): C {
  const found = choices.find((choice) => choice === answer);
  if (found === undefined) {
    throw new RangeError(
      `the answer is ${quoted(answer)}, expected one of ${choices.map(quoted).join(", ")}`,
    );
  }
  return found;
}
