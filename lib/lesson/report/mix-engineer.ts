/** One page for the mix engineer: what to trust at your place, and what to correct in your head. */

import type { RankedPosition } from "../../decision/reference/result";
import { outcomeWords } from "../../study/answer-words";
import type { StudyResult } from "../../study/result";
import type { Study } from "../../study/study";
import { signedDecibels } from "../../text/decibels";
import { referenceFigure } from "../figures/reference";
import type { Fact, Page, Part } from "./page";
import { settingsTable } from "./settings";
import { byWhat, heardWords, placeWords, subtitleOf } from "./wording";

/**
 * The mix engineer's page of a study.
 *
 * It speaks of the measured mix position where there is one, else of the venue's named one, else of the best place.
 *
 * @param study   from `runStudy`
 * @param result  the same as written to disk
 */
export function mixEngineerPage(study: Study, result: StudyResult): Page {
  const { audience } = result.answer.offset;
  const { position, isMeasured } = mixPosition(study, result);
  const ranked = result.answer.ranking?.positions ?? [];
  const best = ranked[0];
  return {
    title: "For the mix engineer",
    oneSheet: true,
    subtitle: subtitleOf(result),
    fitness: result.fitness,
    inShort: [
      ...(position
        ? [{ columns: [[wholeBass(position)], [bands(position)]] }, steadiness(position)]
        : ["The venue has no front-of-house zone, so there is nothing to say of a mix position."]),
      { columns: [[settingsTable(study, result)], [outcomeWords(result.answer)]], tableFirst: true },
    ],
    sections: [
      {
        heading: "What is behind it",
        parts: [
          {
            columns: [
              [
                `The front rows have ${signedDecibels(audience.front_db)} and the back rows ${signedDecibels(audience.back_db)} relative to the target. No fader changes this difference: it comes from where the loudspeakers stand.`,
                ...(position ? behind(position, isMeasured, result) : []),
                ...(best && position && best.id !== position.id
                  ? [
                      { heading: "If you can move" },
                      `Best of ${ranked.length}: ${placeWords(best.point)}. ${heardWords(best)}`,
                    ]
                  : []),
              ],
              ...(study.answer.ranking
                ? [[{ figure: referenceFigure(study.show.venue, study.answer.ranking) }]]
                : []),
            ],
          },
        ],
      },
    ],
    foot: [[...result.cautions, "What was assumed stands in the technician's report."].join(" ")],
  };
}

/** Where the mix engineer stands; nothing where the venue has no place for one. */
export function mixPosition(
  { show }: Study,
  { answer, measured }: StudyResult,
): { position?: RankedPosition; isMeasured: boolean } {
  const ranked = answer.ranking?.positions ?? [];
  const heardId = measured?.ranking?.positions[0].id;
  const heardPosition = ranked.find((p) => p.id === heardId);
  if (heardPosition) return { position: heardPosition, isMeasured: true };
  const position = ranked.find((p) => show.venue.positions.some((known) => known.id === p.id)) ?? ranked[0];
  return { ...(position && { position }), isMeasured: false };
}

/** Less than this is no bias that anyone hears, dB; common practice, no source. */
const UNHEARD_DB = 0.5;

function wholeBass({ id, point, correction: { low_db } }: RankedPosition): Fact {
  const of = `At "${id}", ${placeWords(point)}, the bass as a whole:`;
  if (Math.abs(low_db) < UNHEARD_DB)
    return { of, fact: "let it sound right", means: "You hear it as the audience does." };
  const by = `${Math.abs(low_db).toFixed(1)} dB`;
  return {
    of,
    fact: `let it sound ${by} ${low_db > 0 ? "heavy" : "light"} here`,
    means: `You hear ${by} ${low_db > 0 ? "more" : "less"} than the audience.`,
  };
}

/** The bands that mislead most, from low to high. */
function bands({ correction }: RankedPosition): Fact {
  const of = "Third-octave bands that mislead here:";
  const listed = [...correction.bands].sort((a, b) => a.frequency_hz - b.frequency_hz);
  if (listed.length === 0) return { of, fact: "none by much" };
  return {
    of,
    fact: listed.map((b) => `${b.frequency_hz} Hz: leave ${signedDecibels(b.heard_db, 0)}`).join("\n"),
  };
}

function steadiness(position: RankedPosition): string {
  const steps = [position.towardBack_db_per_m, position.towardLeft_db_per_m].filter(
    (x): x is number => x !== null,
  );
  if (steps.length === 0) return "How it changes when you step aside was not measured.";
  const most = Math.max(...steps.map(Math.abs));
  return most < 0.7
    ? "A step to any side changes little."
    : `A step of a metre changes the bass by up to ${most.toFixed(1)} dB: judge from one position.`;
}

function behind({ notches }: RankedPosition, isMeasured: boolean, { answer }: StudyResult): Part[] {
  return [
    isMeasured
      ? "A microphone stood at your position; what the audience hears is known by it, the other microphones and the drawing."
      : `No microphone stood at your position: what you hear is ${byWhat(answer)}.`,
    ...(notches.length
      ? [
          `You lack ${notches.map((n) => `${n.frequency_hz} Hz (${n.depth_db.toFixed(0)} dB)`).join(", ")}; the audience does not. An equaliser would give it to them twice.`,
        ]
      : []),
  ];
}
