/** What several pages say alike. */
import type { Point } from "../../acoustics/point";
import { allowedWords } from "../../decision/offset/reasons";
import type { RankedPosition } from "../../decision/reference/result";
import type { ShowAnswer } from "../../study/answer";
import type { StudyResult } from "../../study/result";
import type { Study } from "../../study/study";
import type { Fact } from "./page";

/** What a figure of all seats rests on. */
export const byWhat = ({ heard_count }: Pick<ShowAnswer, "heard_count">): string =>
  heard_count > 0 ? "by drawing and microphones" : "by the drawing";

/** Under a report's title: venue, when, by whom, made when and with what. */
export function subtitleOf({ show, venue, made_at, versions }: StudyResult): string {
  const { measured_on, measured_by } = show;
  const measured = [measured_on && `measured on ${measured_on}`, measured_by && `by ${measured_by}`].filter(
    Boolean,
  );
  const version = versions.evenground ? `, Evenground ${versions.evenground}` : "";
  return [venue.name, measured.join(" "), `report of ${made_at.slice(0, 10)}${version}`]
    .filter(Boolean)
    .join(" · ");
}

/** "17.0 m from the stage edge, 0.5 m to house left". */
export function placeWords({ x, y }: Point): string {
  const aside = Math.abs(y).toFixed(1);
  return `${x.toFixed(1)} m from the stage edge, ${aside === "0.0" ? "on the centre line" : `${aside} m to house ${y > 0 ? "left" : "right"}`}`;
}

/** How the bass is heard at a position where one may mix, and what to make of it. */
export function heardWords({ correction: { low_db } }: RankedPosition): string {
  if (Math.abs(low_db) < 0.5) return "The bass is heard there as the audience hears it: trust it.";
  const [more, left] = low_db > 0 ? ["more", "heavy"] : ["less", "light"];
  const by = `${Math.abs(low_db).toFixed(1)} dB`;
  return `There one hears ${by} ${more} bass than the audience: let it sound ${by} ${left}.`;
}

/** Level at the front row and what it means, or that it is not known. */
export function frontRowFact({ show }: Study, { answer }: StudyResult): Fact {
  const { frontRow } = answer.offset;
  const level = "Local law prevails.";
  if (!frontRow) {
    return {
      of: "Front row",
      fact: "level not known",
      means: `No calibrator was recorded: measure the level before people stand there. ${level}`,
    };
  }
  const { frontRowLevel, frontRowDose, louder = 0 } = show.file.settings ?? {};
  const isDriven = answer.heard_count > 0 && (frontRowLevel || frontRowDose) && louder !== 0;
  return {
    of:
      answer.heard_count === 0
        ? "Front row, at the drive of the venue file"
        : isDriven
          ? `Front row, ${Math.abs(louder)} dB ${louder > 0 ? "above" : "below"} the test signal`
          : "Front row, at the level of the test signal",
    fact: `${frontRow.levelA_db.toFixed(0)} dB(A), ${frontRow.levelC_db.toFixed(0)} dB(C)`,
    means: `A day's dose allows ${allowedWords(frontRow)} of it (${frontRow.criterion}). Longer means quieter; louder only with hearing protection and an empty room. ${level}`,
  };
}
