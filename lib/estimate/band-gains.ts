/** The gains of groups by third octaves that microphones tell, and those at any frequency between. */
import { thirdOctaves } from "../acoustics/bands/bands";
import { interpolateLog } from "../acoustics/bands/curve";
import { power, type Response } from "../acoustics/response";
import type { Survey } from "../survey/survey";
import { FIELD_BELOW, leftShare } from "./discrepancy";
import { type Gains, gainsGiven, type HeardBand } from "./gains";
import type { MissingSquare } from "./missing-square";
import type { Heard } from "./to-model-time";

export interface BandGains extends Gains {
  /** Level of a group at each frequency of the model, dB, by levels as `mean` or `draw` gives them. */
  readonly on: (levels: Float64Array, group: 0 | 1) => Float64Array;
}

/** Standard deviation of a third octave's level at one place, that no gain explains, dB: below and above. */
const LOCAL = { low: 2.6, high: 1.7 };
/**
 * The same of all third octaves below, and above, alike: microphones stand where it is louder or softer than elsewhere. Set by six shows in
 * halls of another library (`scripts/answer-truth.ts`, seed 20270302).
 */
const COMMON = { low: 1.5, high: 1 };
/** Beyond its filters a group has noise and leakage for its sound, and tells nothing of its level: 20 dB below its loudest band. */
const QUIET = 0.01;
/** Where recordings are ratios no absolute level is known, dB. */
const ANY_LEVEL = 60;

/** Powers at some places as they are thought beforehand. */
function expectedPowers(
  responses: readonly Response[],
  missing: MissingSquare,
  at: readonly number[],
  isRoom: boolean,
): Float64Array[] {
  return at.map((i) => {
    const { frequency, re, im } = responses[i];
    return power(responses[i]).map((p, n) =>
      frequency[n] < FIELD_BELOW
        ? leftShare(frequency[n], isRoom) * (re[n] ** 2 + im[n] ** 2) + missing(i, n, 1)
        : p,
    );
  });
}

/**
 * @param model  the survey of a model
 * @param missing  what the model lacks of mains and subs
 * @param heard  what was heard at the places `at`
 * @param isRelative  whether the two have no reference in common
 */
export function bandGains(
  model: Survey,
  missing: readonly MissingSquare[],
  heard: readonly Heard[],
  at: readonly number[],
  isRelative: boolean,
  isRoom: boolean,
): BandGains {
  const { frequency } = model;
  const last = frequency[frequency.length - 1];
  const bands = thirdOctaves(Math.max(20, frequency[0]), Math.min(5000, last)).filter(({ lower, upper }) =>
    frequency.some((f) => f >= lower && f <= upper),
  );
  const inBands = (powers: Float64Array): number[] =>
    bands.map(({ lower, upper }) =>
      frequency.reduce((sum, f, n) => sum + (f >= lower && f <= upper ? powers[n] : 0), 0),
    );
  const found = (["mains", "subs"] as const).flatMap((name, group): HeardBand[] => {
    const theirs = heard.map((h) => inBands(power(h[name])));
    const own = expectedPowers(model[name], missing[group], at, isRoom).map(inBands);
    const total = bands.map((_, band) => own.reduce((sum, powers) => sum + powers[band], 0));
    const least = Math.max(...total) * QUIET;
    return bands.flatMap(({ nominal }, band) => {
      if (!(total[band] > least && theirs.every((powers) => powers[band] > 0))) return [];
      const part = nominal < FIELD_BELOW ? "low" : "high";
      // Each microphone alike, not the loudest first: from the front to the back a drawing is wrong by more than a level.
      const more =
        theirs.reduce((sum, powers, i) => sum + 10 * Math.log10(powers[band] / own[i][band]), 0) /
        theirs.length;
      const variance = LOCAL[part] ** 2 / heard.length;
      return [{ group, band, more, variance, part, common: COMMON[part] ** 2 / heard.length }];
    });
  });
  const middles = bands.map(({ nominal }) => nominal);
  return {
    ...(isRelative ? gainsGiven(middles, found, ANY_LEVEL) : gainsGiven(middles, found)),
    on: (levels, group) => {
      const own = levels.subarray(group * middles.length, (group + 1) * middles.length);
      return frequency.map((f) => interpolateLog(middles, own, f));
    },
  };
}
