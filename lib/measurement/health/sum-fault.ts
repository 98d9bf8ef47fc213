/**
 * The simplest change of mains or subs that explains why together they are not their sum.
 *
 * Tried from the simple to the complex: a polarity; a level or a delay; both of one part; both of both parts, as when the microphone
 * moved. The first kind that brings the residual within its error, or the best if it removes nearly all of it, is named.
 */
import type { Response } from "../../acoustics/response";
import { delayed } from "../delay/bulk";
import { type Change, fitChange } from "../transfer/fit-change";

export type SumFaultKind =
  | "left on"
  | "not heard"
  | "swapped files"
  | "polarity"
  | "level"
  | "delay"
  | "level and delay"
  | "moved microphone"
  | "unknown";
export type SumPart = "mains" | "subs" | "both";

/** What likely changed between the recordings, where mains and subs together are not the sum of the two. */
export interface SumFault {
  /** What sort of change it is. */
  readonly kind: SumFaultKind;
  /** What changed while both played. */
  readonly part?: SumPart;
  /** Change of level, dB; of the part, or of the subs for a moved microphone. */
  readonly levelDb?: number;
  /** Change of delay, seconds, positive later; of the part, or of the subs for a moved microphone. */
  readonly delay?: number;
  /** The clause of a sentence that says it, with the remedy. */
  readonly message: string;
}

/** What the check weighs at each frequency. */
export interface SumData {
  readonly frequency: Float64Array;
  readonly mains: Response;
  readonly subs: Response;
  readonly both: Response;
  /** Mean square error that the residual may have. */
  readonly allowed: Float64Array;
  /** Width on the log axis, of sum 1; 0 where nothing can be told. */
  readonly weight: Float64Array;
}

/**
 * Names the likely cause.
 *
 * @param data  responses, allowed error and weight at each frequency
 */
export function explainSum(data: SumData): SumFault {
  const weights = data.weight.map((w, i) => (w > 0 ? w / data.allowed[i] : 0));
  const none = misfit(data, weights, data.mains, data.subs);
  const groups = [
    () => fileTrials(data, weights),
    () => polarityTrials(data, weights),
    () => [...partTrials(data, weights, true, false), ...partTrials(data, weights, false, true)],
    () => partTrials(data, weights, true, true),
    () => [moveTrial(data, weights)],
  ];
  let best: Trial | undefined;
  for (const trials of groups) {
    const trial = trials().reduce((a, b) => (b.misfit < a.misfit ? b : a));
    if (!best || trial.misfit < withinError || trial.misfit < best.misfit / clearlyBetter) best = trial;
    if (trial.misfit < withinError) break;
  }
  if (best && (best.misfit < withinError || best.misfit < none / muchBetter)) return best.fault;
  return {
    kind: "unknown",
    message:
      "no change of level, delay or polarity explains it, as where the microphone moved among reflections; measure this position again",
  };
}

interface Trial {
  readonly misfit: number;
  readonly fault: SumFault;
}

// Mean of residual² over allowed error²: 1 to be expected, and a fit to wrong data is far above 2.
const withinError = 2;
// A later, more complex trial must be this much better to be preferred where none is within the error.
const clearlyBetter = 2;
const muchBetter = 8;
/** A change of level below this, in dB, or of delay, in seconds, is none. */
const noLevel = 0.5;
const noDelay = 0.0001;

/**
 * What both holds one group alone of: the other didn't play with it, or had played in the take of the one already. And what
 * is the difference of the two: files of a take and of both exchanged, where one group is heard in the take of the other.
 */
function fileTrials(data: SumData, weights: Float64Array): Trial[] {
  const { mains, subs } = data;
  const none = scaled(mains, 0);
  const trial = (m: Response, s: Response, kind: SumFaultKind, part: SumPart, message: string): Trial => ({
    misfit: misfit(data, weights, m, s),
    fault: { kind, part, message: `${message}, and measure again` },
  });
  const subsInMains = holds(mains, subs, weights);
  const mainsInSubs = holds(subs, mains, weights);
  return [
    subsInMains
      ? trial(
          mains,
          none,
          "left on",
          "subs",
          "the subs were left on while the mains were measured; mute them",
        )
      : trial(mains, none, "not heard", "subs", "the subs aren't heard in it; check that they were on"),
    mainsInSubs
      ? trial(
          none,
          subs,
          "left on",
          "mains",
          "the mains were left on while the subs were measured; mute them",
        )
      : trial(none, subs, "not heard", "mains", "the mains aren't heard in it; check that they were on"),
    ...(subsInMains
      ? [
          trial(
            mains,
            scaled(subs, -1),
            "swapped files",
            "mains",
            "the files of the mains and of both are likely swapped; exchange them in the show file",
          ),
        ]
      : []),
    ...(mainsInSubs
      ? [
          trial(
            scaled(mains, -1),
            subs,
            "swapped files",
            "subs",
            "the files of the subs and of both are likely swapped; exchange them in the show file",
          ),
        ]
      : []),
  ];
}

/** Whether one response holds another: where the other is the louder by far of what each alone would be, they are one. */
function holds(whole: Response, part: Response, weights: Float64Array): boolean {
  const size = (r: Response, i: number) => r.re[i] ** 2 + r.im[i] ** 2;
  const loud = part.re.reduce((most, _, i) => (weights[i] > 0 ? Math.max(most, size(part, i)) : most), 0);
  let [aa, bb, re, im] = [0, 0, 0, 0];
  for (let i = 0; i < part.re.length; i++) {
    if (!(weights[i] > 0) || size(part, i) < loud / 100) continue;
    aa += size(whole, i);
    bb += size(part, i);
    re += whole.re[i] * part.re[i] + whole.im[i] * part.im[i];
    im += whole.im[i] * part.re[i] - whole.re[i] * part.im[i];
  }
  return re > 0 && re * re + im * im > 0.6 * aa * bb && aa > 0.4 * bb && aa < 2.5 * bb;
}

function polarityTrials(data: SumData, weights: Float64Array): Trial[] {
  const flipped = (response: Response) => scaled(response, -1);
  const { mains, subs } = data;
  const trial = (part: SumPart, m: Response, s: Response): Trial => ({
    misfit: misfit(data, weights, m, s),
    fault: {
      kind: "polarity",
      part,
      message: `the polarity of ${nameOf(part)} is inverted; compare processing and cables, and measure again`,
    },
  });
  return [
    trial("subs", mains, flipped(subs)),
    trial("mains", flipped(mains), subs),
    trial("both", flipped(mains), flipped(subs)),
  ];
}

/** Level, delay or both of one part, or of everything alike. */
function partTrials(data: SumData, weights: Float64Array, level: boolean, delay: boolean): Trial[] {
  const { mains, subs, both } = data;
  return (["subs", "mains", "both"] as const).map((part) => {
    const target = part === "subs" ? minus(both, mains) : part === "mains" ? minus(both, subs) : both;
    const source = part === "subs" ? subs : part === "mains" ? mains : plus(mains, subs);
    const change = fitChange(target, source, weights, { gain: level, delay });
    const changed = (response: Response) => delayed(scaled(response, change.gain), change.delay);
    return {
      misfit: misfit(
        data,
        weights,
        part === "subs" ? mains : changed(mains),
        part === "mains" ? subs : changed(subs),
      ),
      fault: partFault(part, change, level, delay),
    };
  });
}

function partFault(part: SumPart, { gain, delay }: Change, withLevel: boolean, withDelay: boolean): SumFault {
  const levelDb = 20 * Math.log10(gain);
  const levelText = `${nameOf(part)} ${part === "mains" || part === "subs" ? "are" : "is"} ${Math.abs(levelDb).toFixed(1)} dB ${levelDb < 0 ? "lower" : "higher"}`;
  const delayText = `${(Math.abs(delay) * 1000).toFixed(2)} ms ${delay > 0 ? "later" : "earlier"}`;
  if (withLevel && withDelay) {
    return {
      kind: part === "both" ? "moved microphone" : "level and delay",
      part,
      levelDb,
      delay,
      message: `${levelText} and ${delayText} than alone; ${part === "both" ? "the microphone has likely moved, so fix its position" : "compare the processing"}, and measure again`,
    };
  }
  if (withLevel) {
    return {
      kind: "level",
      part,
      levelDb,
      message: `${levelText} than alone; ${levelDb < 0 && levelDb > -15 && part !== "both" ? "a limiter is likely holding, so measure at a lower level" : levelDb > 0 ? "a gain was likely raised in between, such as a preamp's, so compare gains" : "compare gains"}, and measure again`,
    };
  }
  return {
    kind: "delay",
    part,
    delay,
    message: `${nameOf(part)} ${part === "both" ? "is" : "are"} ${delayText} than alone; ${part === "both" ? "fix the microphone's position and the reference" : "compare delay settings"}, and measure again`,
  };
}

/** Mains and subs changed each in its own way: the microphone stands elsewhere. */
function moveTrial(data: SumData, weights: Float64Array): Trial {
  let mains = data.mains;
  let subs = data.subs;
  let ofMains: Change = { gain: 1, delay: 0 };
  let ofSubs: Change = { gain: 1, delay: 0 };
  const both = { gain: true, delay: true };
  // In turns, each against what the other leaves: mains rule the highs and subs the lows, so that a few turns suffice.
  for (let turn = 0; turn < 6; turn++) {
    ofMains = fitChange(minus(data.both, subs), data.mains, weights, both);
    mains = delayed(scaled(data.mains, ofMains.gain), ofMains.delay);
    ofSubs = fitChange(minus(data.both, mains), data.subs, weights, both);
    subs = delayed(scaled(data.subs, ofSubs.gain), ofSubs.delay);
  }
  const levelDb = 20 * Math.log10(ofSubs.gain);
  const still = ({ gain, delay }: Change) =>
    Math.abs(20 * Math.log10(gain)) < noLevel && Math.abs(delay) < noDelay;
  if (still(ofMains)) {
    return { misfit: misfit(data, weights, mains, subs), fault: partFault("subs", ofSubs, true, true) };
  }
  if (still(ofSubs)) {
    return { misfit: misfit(data, weights, mains, subs), fault: partFault("mains", ofMains, true, true) };
  }
  const ms = (delay: number) => `${delay < 0 ? "−" : "+"}${(Math.abs(delay) * 1000).toFixed(2)} ms`;
  return {
    misfit: misfit(data, weights, mains, subs),
    fault: {
      kind: "moved microphone",
      levelDb,
      delay: ofSubs.delay,
      message: `mains (${ms(ofMains.delay)}) and subs (${ms(ofSubs.delay)}) arrive each at another time than alone; the microphone has likely moved, so fix its position and measure again`,
    },
  };
}

/** Mean of residual² over allowed error². */
function misfit(data: SumData, weights: Float64Array, mains: Response, subs: Response): number {
  let sum = 0;
  for (let i = 0; i < weights.length; i++) {
    const re = data.both.re[i] - mains.re[i] - subs.re[i];
    const im = data.both.im[i] - mains.im[i] - subs.im[i];
    sum += weights[i] * (re * re + im * im);
  }
  return sum;
}

function plus(a: Response, b: Response, sign = 1): Response {
  return {
    frequency: a.frequency,
    re: a.re.map((x, i) => x + sign * b.re[i]),
    im: a.im.map((x, i) => x + sign * b.im[i]),
  };
}

function minus(a: Response, b: Response): Response {
  return plus(a, b, -1);
}

function scaled({ frequency, re, im }: Response, gain: number): Response {
  return { frequency, re: re.map((x) => gain * x), im: im.map((x) => gain * x) };
}

function nameOf(part: SumPart): string {
  return part === "both" ? "everything" : `the ${part}`;
}
