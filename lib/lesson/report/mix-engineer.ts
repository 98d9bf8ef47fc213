/** One page for the mix engineer: what to trust at your place, and what to correct in your head. */

import type { RankedPosition } from "../../decision/reference/result";
import type { ShowAnswer } from "../../study/answer";
import { outcomeWords } from "../../study/answer-words";
import type { StudyResult } from "../../study/result";
import type { Study } from "../../study/study";
import { signedDecibels } from "../../text/decibels";
import { referenceFigure } from "../figures/reference";
import { table } from "../output/table";
import type { Page, Part } from "./page";
import { settingsTable } from "./settings";
import { byWhat, subtitleOf } from "./wording";

/**
 * The mix engineer's page of a study.
 *
 * It speaks of the measured mix position where there is one, else of the venue's named one, else of the best place.
 *
 * @param study   from `runStudy`
 * @param result  the same as written to disk
 */
export function mixEngineerPage(study: Study, result: StudyResult): Page {
  const { answer } = study;
  const { audience } = result.answer.offset;
  const { position, isMeasured } = mixPosition(study);
  const best = answer.ranking?.positions[0];
  return {
    title: "For the mix engineer",
    oneSheet: true,
    subtitle: subtitleOf(study, result.made_at),
    inShort: [
      settingsTable(study, result),
      outcomeWords(result.answer),
      position
        ? `${heard(position)} ${steadiness(position)}`
        : "The venue has no front-of-house zone, so there is nothing to say of a mix position.",
    ],
    sections: [
      {
        heading: "What the audience gets",
        parts: [
          `The front rows have ${signedDecibels(audience.front_db)} and the back rows ${signedDecibels(audience.back_db)} relative to the target. No fader changes this difference: it comes from where the loudspeakers stand.`,
        ],
      },
      ...(position
        ? [{ heading: `At ${position.id}`, parts: atPosition(position, isMeasured, answer) }]
        : []),
      ...(best && position && best.id !== position.id
        ? [
            {
              heading: "If you can move",
              parts: [best.reason, { figure: referenceFigure(study.show.venue, answer.ranking!) }],
            },
          ]
        : []),
    ],
    foot: [...result.cautions, `Assumed: ${result.assumptions.join(" ")}`],
  };
}

function mixPosition({ answer, measured, show }: Study): { position?: RankedPosition; isMeasured: boolean } {
  const ranked = answer.ranking?.positions ?? [];
  const heardId = measured?.ranking?.positions[0].id;
  const heardPosition = ranked.find((p) => p.id === heardId);
  if (heardPosition) return { position: heardPosition, isMeasured: true };
  const position = ranked.find((p) => show.venue.positions.some((known) => known.id === p.id)) ?? ranked[0];
  return { ...(position && { position }), isMeasured: false };
}

function heard(position: RankedPosition): string {
  const bias = position.correction.low_db;
  if (Math.abs(bias) < 0.5) return `At ${position.id} you hear the bass as the audience does. Trust it.`;
  return bias > 0
    ? `At ${position.id} you hear ${bias.toFixed(1)} dB more bass than the audience. Leave it that much too full.`
    : `At ${position.id} you hear ${(-bias).toFixed(1)} dB less bass than the audience. Leave it that much too thin.`;
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

function atPosition(position: RankedPosition, isMeasured: boolean, answer: ShowAnswer): Part[] {
  const { bands } = position.correction;
  return [
    isMeasured
      ? "A microphone stood here; what the audience hears is known by it, the other microphones and the drawing."
      : `No microphone stood here: this is ${byWhat(answer)}.`,
    bands.length
      ? table(
          bands.map((b) => ({
            "third-octave band (Hz)": b.frequency_hz,
            "you hear relative to the audience": signedDecibels(b.heard_db),
            "so leave it": b.heard_db > 0 ? "too loud" : "too quiet",
          })),
          { caption: "The bands that mislead most" },
        )
      : "No third-octave band misleads by much.",
    ...(position.notches.length
      ? [
          `You lack ${position.notches.map((n) => `${n.frequency_hz} Hz (${n.depth_db.toFixed(0)} dB)`).join(", ")}; the audience does not. An equaliser would give it to them twice.`,
        ]
      : []),
  ];
}
