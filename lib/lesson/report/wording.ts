/** Numbers as the report words them. */

import type { AudienceSummary } from "../../decision/balance/summary";
import type { Answer } from "../../study/answer";
import type { Study } from "../../study/study";
import { percent, signedDecibels } from "../../text/decibels";

/** "1.5 dB higher", "2.0 dB lower", "as measured". */
export function offsetWords(offset: number): string {
  if (Math.abs(offset) < 0.25) return "as measured";
  return `${Math.abs(offset).toFixed(1)} dB ${offset > 0 ? "higher" : "lower"}`;
}

/** What an audience gets, in a sentence's second half. */
export const audienceWords = (a: AudienceSummary): string =>
  `${percent(a.within3dB_fraction)} of the people within 3 dB of the target and ${percent(a.within6dB_fraction)} within 6 dB`;

/** How sure the answer is and what it rests on, in a line. */
export function sureWords({ intervals, heard_count }: Answer): string {
  const { offset_db, within3dB_fraction } = intervals;
  const rests =
    heard_count > 0 ? `the drawing and ${heard_count} microphone positions together` : "the drawing alone";
  return `This rests on ${rests}. In nine cases of ten the right level lies between ${signedDecibels(offset_db.lower)} and ${signedDecibels(offset_db.upper)} relative to the current one, and ${percent(within3dB_fraction.lower)} to ${percent(within3dB_fraction.upper)} of the people are within 3 dB.`;
}

/** What a figure of all seats rests on. */
export const byWhat = ({ heard_count }: Answer): string =>
  heard_count > 0 ? "by drawing and microphones" : "by the model";

/** Under a report's title: venue, when, by whom. */
export function subtitleOf({ show }: Study, madeAt: string): string {
  const { measuredOn, measuredBy } = show.file;
  const measured = [measuredOn && `measured on ${measuredOn}`, measuredBy && `by ${measuredBy}`].filter(
    Boolean,
  );
  return [show.venue.name, measured.join(" "), `report of ${madeAt.slice(0, 10)}`]
    .filter(Boolean)
    .join(" · ");
}
