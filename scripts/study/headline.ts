/** The first words of a result in the console: whether it rests on a measurement, and what was decided. */
import type { StudyResult } from "../../lib/study/result";

/** What was measured decides, and only where nothing could be used the model; either is said first. */
export function headline({ measured, model }: Pick<StudyResult, "measured" | "model">): string {
  const by = measured
    ? `Measured at ${measured.positions_count} positions:`
    : "By the model only, nothing measured could be used:";
  return [by, ...(measured ?? model).offset.reasons.slice(0, 3)].join("\n");
}
