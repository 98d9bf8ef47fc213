/** One page for the client: what was done, what is left, and what would help. */

import { outcomeWords } from "../../study/answer-words";
import type { StudyResult } from "../../study/result";
import type { Study } from "../../study/study";
import { percent } from "../../text/decibels";
import { seatsFigure } from "../figures/seats";
import type { Page } from "./page";
import { balanceAfter, settingsTable } from "./settings";
import { byWhat, subtitleOf } from "./wording";

/**
 * The client's page of a study.
 *
 * @param study   from `runStudy`
 * @param result  the same as written to disk
 */
export function clientPage(study: Study, result: StudyResult): Page {
  const { answer, model, show } = study;
  const { audience } = result.answer.offset;
  const drift = audience.frontToBack_db;
  return {
    title: `Bass for everyone: ${show.venue.name}`,
    oneSheet: true,
    subtitle: subtitleOf(study, result.made_at),
    inShort: [
      settingsTable(study, result),
      outcomeWords(result.answer),
      "This suits the audience as a whole. A difference of 3 dB is heard, but does not spoil a show.",
    ],
    sections: [
      {
        heading: "What was done",
        parts: [
          answer.heard_count > 0
            ? `The sound was measured at ${answer.heard_count} positions from the front to the back. From there a computed model of the room carries it to ${model.survey.positions.length} positions in the audience.`
            : `The sound was computed for ${model.survey.positions.length} positions in the audience. No measurement could be used.`,
          {
            figure: seatsFigure(
              show.venue,
              answer.survey.positions,
              balanceAfter(study).positions.map((p) => p.deviation_db),
              { title: `Bass at each position relative to the target, ${byWhat(answer)}` },
            ),
          },
        ],
      },
      {
        heading: "What is left",
        parts: [
          Math.abs(drift) < 2
            ? "Front and back differ by less than 2 dB, which few will notice."
            : `The front rows still have ${Math.abs(drift).toFixed(0)} dB ${drift > 0 ? "more" : "less"} bass than the back rows. The loudspeakers for the voice hang overhead, nearly as far from the front as from the back; the subwoofers stand on the floor, right before the front row. No setting changes that.`,
          `${percent(1 - audience.within6dB_fraction)} of the people stay more than 6 dB away from the target.`,
        ],
      },
      {
        heading: "What would help",
        parts: [
          {
            list: [
              ...better(study),
              ...study.dips
                .filter((d) => d.confidence_fraction > 0.5 && d.advice.remedies.length > 0)
                .slice(0, 2)
                .filter((d, i, all) => all.findIndex(({ verdict }) => verdict === d.verdict) === i)
                .map(
                  (d) =>
                    `Around ${Math.round(d.group.frequency_hz)} Hz the sound cancels itself. ${d.advice.remedies[0]}`,
                ),
              "The same measurement with an audience, since people and doors change a room.",
            ],
          },
        ],
      },
    ],
    foot: [...result.cautions, `Assumed: ${result.assumptions.join(" ")}`],
  };
}

/** Other places for the subs that would serve the audience better, by the model. */
function better({ layouts }: Study): string[] {
  const [standing, ...others] = layouts?.layouts ?? [];
  const gain = others
    .filter((l) => standing.deviation_db - l.deviation_db > 0.5)
    .sort((a, b) => a.deviation_db - b.deviation_db)[0];
  if (!gain)
    return standing
      ? ["The other positions tried for the same subwoofers would not serve the audience better."]
      : [];
  const hung = /hung/.test(gain.name)
    ? " Whether anything may hang there is for qualified riggers to say."
    : "";
  const more = Math.round(100 * (gain.audience.within3dB_fraction - standing.audience.within3dB_fraction));
  return [
    `The same subwoofers, ${gain.name}: ${more > 0 ? `about ${more} more people of a hundred within 3 dB` : "less to hear of the difference from seat to seat"}, by the drawing.${hung}`,
  ];
}
