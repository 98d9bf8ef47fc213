/** Whose positions decide: those with people, and a measurement one can go by. */
import { mainsWithFills } from "../../survey/mains-with-fills";
import type { Survey } from "../../survey/survey";
import { listed } from "../../text/listed";
import { audienceWeights } from "./audience";
import { bandWeights, coveredThirdOctaves, span } from "./band-powers";
import { trustedFrequencies } from "./coherent-frequencies";

export interface Voting {
  /** Share of the decision per position, summing to 1. */
  readonly weights: Float64Array;
  /** Share of the low band, over log frequency, that is coherent enough per position, 0…1. */
  readonly trusted: Float64Array;
  /** Ids of positions with people whose measurement is too poor to count. */
  readonly leftOut: readonly string[];
}

/** A position with less than this of its low band coherent does not count. */
const LEAST = 0.25;

/**
 * Weights of the positions in a decision.
 *
 * @param survey  a survey
 * @param lowBand  lowest and highest nominal third octave of the low band, hertz
 * @param coherenceLimit  below which a frequency does not count, 0…1
 * @param weights  people per position, to be used instead of the survey's own
 * @throws RangeError when nobody is there, or no position with people is coherent enough
 */
export function voting(
  survey: Survey,
  lowBand: readonly [number, number],
  coherenceLimit: number,
  weights?: ArrayLike<number>,
): Voting {
  if (!(coherenceLimit >= 0 && coherenceLimit <= 1)) {
    throw new RangeError(`coherenceLimit is ${coherenceLimit}, expected 0 to 1`);
  }
  const all = audienceWeights(survey, weights);
  const low = span(coveredThirdOctaves(survey.frequency, lowBand[0], lowBand[1], "the low band"));
  const band = bandWeights(survey.frequency, low);
  const trusted = Float64Array.from(survey.positions, (_, i) => {
    if (coherenceLimit === 0) return 1;
    const flags = trustedFrequencies(mainsWithFills(survey, i), survey.subs[i], coherenceLimit);
    return flags ? band.weight.reduce((sum, w, k) => sum + w * flags[band.start + k], 0) : 1;
  });
  const counted = all.map((w, i) => (trusted[i] >= LEAST ? w : 0));
  const total = counted.reduce((sum, w) => sum + w, 0);
  if (!(total > 0)) {
    throw new RangeError(
      `no position of survey "${survey.name}" has a coherence of ${coherenceLimit} over a quarter of the low band: measure again, longer or with less noise, or lower the limit: in a reverberant room coherence is low without any noise`,
    );
  }
  return {
    weights: counted.map((w) => w / total),
    trusted,
    leftOut: survey.positions.flatMap((p, i) => (all[i] > 0 && trusted[i] < LEAST ? [p.id] : [])),
  };
}

/** The sentence that says whose measurement did not count. */
export function leftOutReason(ids: readonly string[]): string {
  return `The measurement at ${listed(ids)} is not coherent enough in the low band and does not count: measure there again, longer or with less noise, or lower the limit where the room is reverberant.`;
}
