/** Whether a study's answer is fit for use: one rule, said here and nowhere else. */
import { capital } from "../text/capital";

/** How far an answer is to be trusted. */
export interface Fitness {
  readonly state: "fit for use" | "use with care" | "measure again";
  /** Why, in a sentence. */
  readonly why: string;
}

/** As much of a result as the rule looks at. */
interface Judged {
  readonly answer: {
    readonly heard_count: number;
    readonly intervals: { readonly offset_db: readonly [number, number] };
    readonly offset: {
      readonly atEndOfRange: boolean;
      readonly audience: { readonly within3dB_fraction: number };
    };
  };
  readonly problems: readonly string[];
  readonly warnings: readonly string[];
}

/**
 * Widest 90 % interval of the change: for care, and at all. The target's own tolerance reaches 3 dB to either side: with an
 * interval of 6 dB the change may be off by the whole of it, with one of 3 dB by half. Common practice, no source.
 */
const WIDEST_FIT_DB = 3;
const WIDEST_USED_DB = 6;

/** Least part of the people within 3 dB: fewer than half can't be called most. */
const LEAST_WITHIN_3DB = 0.5;

/**
 * The worst of what the result says of itself decides.
 *
 * Measure again: nothing measured went into it, or the change is known to worse than 6 dB. Use with care: known to worse than
 * 3 dB, fewer than half of the people within 3 dB of the target, the level at the end of its range, or anything that was
 * refused or remarked on. Else fit for use.
 */
export function fitnessOf({ answer, problems, warnings }: Judged): Fitness {
  const [lowest, highest] = answer.intervals.offset_db;
  const width = highest - lowest;
  const known = `the right change is known to within ${width.toFixed(1)} dB`;
  const again = [
    ...(answer.heard_count === 0 ? ["nothing measured went into this answer"] : []),
    ...(width > WIDEST_USED_DB ? [`${known} only`] : []),
  ];
  if (again.length > 0) return { state: "measure again", why: sentence(again) };
  const care = [
    ...(width > WIDEST_FIT_DB ? [`${known} only`] : []),
    ...(answer.offset.audience.within3dB_fraction < LEAST_WITHIN_3DB
      ? ["fewer than half of the people are within 3 dB of the target"]
      : []),
    ...(answer.offset.atEndOfRange ? ["the level of the subs alone can't reach the target"] : []),
    ...(problems.length > 0
      ? [`${problems.length > 1 ? `${problems.length} things` : "something"} could not be used`]
      : []),
    ...(warnings.length > 0
      ? [
          `${warnings.length > 1 ? `${warnings.length} remarks stand` : "a remark stands"} under "${REMARKS}" in the technician's report`,
        ]
      : []),
  ];
  if (care.length > 0) return { state: "use with care", why: sentence(care) };
  return { state: "fit for use", why: sentence([known, "nothing measured was refused or remarked on"]) };
}

/** "Use with care. A remark stands …": the state and why, for console and pages. */
export const fitnessWords = ({ state, why }: Fitness): string => `${capital(state)}. ${why}`;

/** The heading under which a report tells what was wrong with the measurement. */
export const REMARKS = "Before you trust it";

function sentence(parts: readonly string[]): string {
  const text = parts.length > 1 ? `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}` : parts[0];
  return `${capital(text)}.`;
}
