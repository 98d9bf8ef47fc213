/** The gains of groups by third octaves that microphones tell, and those at any frequency between. */
import { thirdOctaves } from "../acoustics/bands/bands";
import { interpolateLog } from "../acoustics/bands/curve";
import { power, type Response } from "../acoustics/response";
import type { Survey } from "../survey/survey";
import { FIELD_BELOW } from "./discrepancy";
import { type Gains, gainsGiven, type HeardBand } from "./gains";
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

/**
 * @param model  the survey of a model
 * @param heard  what was heard at the places `at`
 * @param isRelative  whether the two have no reference in common
 */
export function bandGains(
  model: Survey,
  heard: readonly Heard[],
  at: readonly number[],
  isRelative: boolean,
): BandGains {
  const { frequency } = model;
  const last = frequency[frequency.length - 1];
  const bands = thirdOctaves(Math.max(20, frequency[0]), Math.min(5000, last)).filter(({ lower, upper }) =>
    frequency.some((f) => f >= lower && f <= upper),
  );
  const sums = (responses: readonly Response[]): number[] => {
    const powers = responses.map(power);
    return bands.map(({ lower, upper }) =>
      frequency.reduce(
        (sum, f, n) => sum + (f >= lower && f <= upper ? powers.reduce((s, p) => s + p[n], 0) : 0),
        0,
      ),
    );
  };
  const found = (["mains", "subs"] as const).flatMap((name, group): HeardBand[] => {
    const theirs = sums(heard.map((h) => h[name]));
    const own = sums(at.map((i) => model[name][i]));
    const least = Math.max(...own) * QUIET;
    return bands.flatMap(({ nominal }, band) => {
      if (!(theirs[band] > 0 && own[band] > least)) return [];
      const part = nominal < FIELD_BELOW ? "low" : "high";
      const more = 10 * Math.log10(theirs[band] / own[band]);
      return [
        {
          group,
          band,
          more,
          variance: LOCAL[part] ** 2 / heard.length,
          part,
          common: COMMON[part] ** 2 / heard.length,
        },
      ];
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
