import type { ShowAnswer } from "../answer";
import type { ShowMeasurement } from "../measure";
import type { Show } from "../read-show";
import { type Entered, enteredOf, recommended } from "./entered";
import type { Verification } from "./result";
import { verify } from "./verify";

/**
 * Whether the predicted result was reached once the setting had been entered, and if not, the likeliest single cause.
 *
 * At each position mains and subs as they were measured, each changed as entered, let expect the levels of both together. They are held
 * against what was recorded since, with the errors of both measurements. Where they part, each thing that is easily done wrong is tried, and
 * that is named which fits all positions best.
 *
 * @param study  from `studies.run`, of a show with a `verification`
 * @param entered  changes of mains and subs since the measurement, in dB and milliseconds; by default those that the show file names, or
 *   else those that the study recommends
 * @returns state, causes and levels by position; nothing where the show has no verification
 * @source own way, no outside source; check: tests/study/verification/verify.test.ts
 * @example
 * const likeliest = (folder: string) => studies.verify(studies.run(read.show(folder)))?.causes[0];
 */
export function verifyStudy(
  study: {
    /** What was studied. */
    readonly show: Show;
    /** What its recordings gave, before and after. */
    readonly measurement: ShowMeasurement;
    /** What is recommended. */
    readonly answer: Pick<ShowAnswer, "offset" | "setting">;
  },
  entered?: Entered,
): Verification | undefined {
  const { show, measurement, answer } = study;
  const { survey, after } = measurement;
  if (!survey || !after) return undefined;
  const given = show.file.verification?.entered;
  const cabinets = show.venue.sources.filter(({ group }) => group === "subs").length;
  return verify(survey, after, entered ?? (given ? enteredOf(given) : recommended(answer)), cabinets);
}
