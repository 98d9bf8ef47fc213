/** The first words of a result in the console: what it rests on, how sure it is, and what was decided. */
import type { StudyResult } from "../../lib/study/result";
import { signedDecibels } from "../../lib/text/decibels";

/** Where nothing measured could be used the drawing decides alone, and that is said first. */
export function headline({ answer }: Pick<StudyResult, "answer">): string {
  const { heard_count, intervals, offset } = answer;
  const by =
    heard_count > 0
      ? `By the drawing and ${heard_count} measured positions:`
      : "By the model only, nothing measured could be used:";
  const [lower, upper] = intervals.offset_db;
  const sure = `In nine cases of ten the right level lies between ${signedDecibels(lower)} and ${signedDecibels(upper)} relative to the current one.`;
  return [by, ...offset.reasons.slice(0, 3), sure].join("\n");
}
