/** Crossovers tried side by side: filters of any kind on either side, each aligned as well as it can be. */
import type { Processing } from "../../acoustics/filters/filter";
import type { Survey } from "../../survey/survey";
import { alignment } from "./alignment";
import type { AlignmentOptions, AlignmentResult } from "./result";

export interface CrossoverToTry {
  /** Name to tell it by. */
  readonly name: string;
  /** Processing on the mains, on top of what the survey holds. */
  readonly mains: readonly Processing[];
  /** The same on the subs. */
  readonly subs: readonly Processing[];
}

/** Plain data. */
export interface CrossoverComparison {
  /** Best first, by what the best alignment leaves; those without overlap last. */
  readonly crossovers: readonly {
    readonly name: string;
    /** null where mains and subs do not overlap with these filters. */
    readonly alignment: AlignmentResult | null;
  }[];
  /** A sentence for each crossover, in the same order. */
  readonly reasons: readonly string[];
}

/**
 * Compares crossovers by how near the sum comes to the in-phase sum after the best delay and polarity.
 *
 * @param survey  measured with phase, or modelled, without the filters to try
 * @param crossovers  what to try, by name: processing on the mains and on the subs
 * @param options  as for `decide.alignment`
 * @returns each crossover with its alignment, best first, and a sentence each
 * @throws RangeError as `decide.alignment` does, apart from a lack of overlap, and when there is nothing to try
 * @source sum of two phasors; check: tests/decision/alignment/alignment.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * const turn = { kind: "all-pass", order: 1, frequency: 100 } as const;
 * const tried = [{ name: "now", mains: [], subs: [] }, { name: "all-pass", mains: [turn], subs: [] }];
 * decide.compareCrossovers(survey, tried).crossovers.length // 2
 */
export function compareCrossovers(
  survey: Survey,
  crossovers: readonly CrossoverToTry[],
  options: Omit<AlignmentOptions, "filters"> = {},
): CrossoverComparison {
  if (crossovers.length === 0) throw new RangeError("crossovers is empty, expected at least one to try");
  const found = crossovers.map(({ name, mains, subs }) => ({
    name,
    alignment: alignedOrNull(survey, { ...options, filters: { mains, subs } }),
  }));
  const lossOf = (c: { alignment: AlignmentResult | null }) =>
    c.alignment?.choices[0].loss_db ?? Number.POSITIVE_INFINITY;
  found.sort((a, b) => {
    const [x, y] = [lossOf(a), lossOf(b)];
    return x === y ? 0 : x - y;
  });
  return {
    crossovers: found,
    reasons: found.map(({ name, alignment: a }) =>
      a
        ? `${name}: after alignment the sum stays ${a.choices[0].loss_db.toFixed(1)} dB below an in-phase sum, from ${Math.round(a.band_hz[0])} to ${Math.round(a.band_hz[1])} Hz.`
        : `${name}: mains and subs do not overlap, so there is nothing to align and a dip between them.`,
    ),
  };
}

function alignedOrNull(survey: Survey, options: AlignmentOptions): AlignmentResult | null {
  try {
    return alignment(survey, options);
  } catch (error) {
    if (error instanceof RangeError && error.message.includes("no overlap")) return null;
    throw error;
  }
}
