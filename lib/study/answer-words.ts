/** The answer's numbers in words, said here and nowhere else, so that console and pages can't tell different ones. */
import { percent, signedDecibels } from "../text/decibels";
import type { StudyResult } from "./result";

type Told = Pick<StudyResult["answer"], "setting" | "intervals" | "heard_count"> & {
  readonly offset: {
    readonly offset_db: number;
    readonly audience: { readonly within3dB_fraction: number; readonly within6dB_fraction: number };
  };
};

/** "+0.3 dB": by how much to raise the subs. */
export const gainWords = ({ offset }: Told): string => signedDecibels(offset.offset_db);

/** "polarity inverted, subs delayed by 2.00 ms": what to change beside their level. */
export function settingWords({ setting: { polarity, delay_ms } }: Pick<Told, "setting">): string {
  const late =
    delay_ms === 0
      ? "delay unchanged"
      : `${delay_ms < 0 ? "mains" : "subs"} delayed by ${delayWords(Math.abs(delay_ms))}`;
  return `polarity ${polarity === 1 ? "unchanged" : "inverted"}, ${late}`;
}

/** "5.20 ms". */
export const delayWords = (delay_ms: number): string => `${delay_ms.toFixed(2)} ms`;

/** What the audience gets and how sure that is, in a line. */
export function outcomeWords(answer: Told): string {
  const { offset_db, within3dB_fraction } = answer.intervals;
  const { audience } = answer.offset;
  const [lowest, highest] = offset_db.map((x) => signedDecibels(x));
  const [fewest, most] = within3dB_fraction.map(percent);
  const basis =
    answer.heard_count > 0
      ? `the drawing and ${answer.heard_count} measured positions`
      : "the drawing alone: nothing measured could be used";
  return `With this ${percent(audience.within3dB_fraction)} of the people are to be expected within 3 dB of the target and ${percent(audience.within6dB_fraction)} within 6 dB. In nine cases of ten the right change lies between ${lowest} and ${highest}, and ${fewest} to ${most} of the people are within 3 dB. This rests on ${basis}.`;
}
