/** What is asked without a seat to judge by: a number that follows from other numbers by a law of acoustics. */
import { nearestMistake, type Tempting } from "../kinds/tempting";
import { readNumber, type SetUp } from "../task";

export interface Question {
  /** The numbers that are given, and which one is wanted. */
  readonly words: string;
  /** The right one. */
  readonly answer: number;
  /** What it is, as a refusal says it. */
  readonly what: string;
  readonly unit: "dB" | "ms" | "cabinets";
  /** Lowest and highest number that is taken for an answer. */
  readonly within: readonly [number, number];
  /** What a wrong one costs, in words. */
  readonly loss: string;
  /** The same, dB. Default: how far an answer in dB is off. */
  readonly cost?: (given: number) => number;
  /** What each mistake would have answered. */
  readonly tempting: readonly Tempting[];
  /** The law. */
  readonly why: string;
}

/** Asks what is drawn; the venue is where it happens, and decides nothing. */
export function ask(draw: (random: () => number) => Question): SetUp {
  return (venue, random) => {
    const { words, answer, what, unit, within, loss, tempting, why, cost } = draw(random);
    const off = cost ?? ((given: number) => Math.abs(given - answer));
    return {
      question: words,
      drawing: venue,
      truth: venue,
      read: (given) => readNumber(given, what, within[0], within[1]),
      loss,
      unit,
      span: SPAN,
      why,
      judge: {
        cost: (given) => off(given as number),
        best: answer,
        misconception: (given) => nearestMistake(given as number, tempting, NEAR, "slip on the way"),
      },
    };
  };
}

/** Off by as much, nothing is left of the score, dB. */
const SPAN = 2;
/** A number nearer than this to that of a mistake was made by it. */
const NEAR = 0.6;
