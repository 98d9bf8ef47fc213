/** What several pages say alike. */

import type { ShowAnswer } from "../../study/answer";
import type { Study } from "../../study/study";

/** What a figure of all seats rests on. */
export const byWhat = ({ heard_count }: ShowAnswer): string =>
  heard_count > 0 ? "by drawing and microphones" : "by the drawing";

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
