/** One page for the client: what was done, what is left, and what would help. */

import type { CauseKind } from "../../decision/dips/causes";
import { outcomeWords } from "../../study/answer-words";
import type { StudyResult } from "../../study/result";
import type { Study } from "../../study/study";
import { percent } from "../../text/decibels";
import { seatsFigure } from "../figures/seats";
import type { Page } from "./page";
import { balanceAfter, settingsTable } from "./settings";
import { frontRowFact, subtitleOf } from "./wording";

/**
 * The client's page of a study.
 *
 * @param study   from `runStudy`
 * @param result  the same as written to disk
 */
export function clientPage(study: Study, result: StudyResult): Page {
  const { answer, show } = study;
  const { audience } = result.answer.offset;
  const drift = audience.frontToBack_db;
  return {
    title: `Bass for everyone: ${show.venue.name}`,
    oneSheet: true,
    subtitle: subtitleOf(result),
    fitness: result.fitness,
    inShort: [
      `${outcomeWords(result.answer)} A difference of 3 dB is heard, but does not spoil a show.`,
      { columns: [[settingsTable(study, result)], [frontRowFact(study, result)]], tableFirst: true },
    ],
    sections: [
      {
        heading: "What you get",
        parts: [
          {
            columns: [
              [
                {
                  figure: seatsFigure(
                    show.venue,
                    answer.survey.positions,
                    balanceAfter(study).positions.map((p) => p.deviation_db),
                    { title: "Bass relative to the target" },
                  ),
                },
              ],
              [
                { heading: "What was done" },
                result.answer.heard_count > 0
                  ? `The sound was measured at ${result.answer.heard_count} positions from the front to the back. From there a computed model of the room carries it to ${result.answer.positions_count} positions in the audience.`
                  : `The sound was computed for ${result.answer.positions_count} positions in the audience. No measurement could be used.`,
                { heading: "What is left" },
                Math.abs(drift) < 2
                  ? "Front and back differ by less than 2 dB, which few will notice."
                  : `The front rows still have ${Math.abs(drift).toFixed(0)} dB ${drift > 0 ? "more" : "less"} bass than the back rows. The loudspeakers for the voice hang overhead, nearly as far from the front as from the back; the subwoofers stand on the floor, right before the front row. No setting changes that.`,
                `${percent(1 - result.answer.offset.audience.within6dB_fraction)} of the people stay more than 6 dB away from the target.`,
                { heading: "What would help, most effective first" },
                {
                  list: [
                    ...otherPositions(result),
                    ...builders(result),
                    "The same measurement with an audience, since people and doors change a room.",
                  ],
                },
              ],
            ],
          },
        ],
      },
    ],
    foot: [[...result.cautions, "What was assumed stands in the technician's report."].join(" ")],
  };
}

/** Other positions of the subs that would serve the audience better, by the model; nothing where none would. */
function otherPositions({ layouts }: StudyResult): string[] {
  const [standing, ...others] = layouts?.layouts ?? [];
  const best = others
    .filter((l) => standing.deviation_db - l.deviation_db > 0.5)
    .sort((a, b) => a.deviation_db - b.deviation_db)[0];
  if (!best) return [];
  const hung = /hung/.test(best.name)
    ? " Whether anything may hang there is for qualified riggers to say."
    : "";
  const more = Math.round(100 * (best.audience.within3dB_fraction - standing.audience.within3dB_fraction));
  return [
    `The same subwoofers, ${best.name}: ${more > 0 ? `about ${more} more people of a hundred within 3 dB` : "less to hear of the difference from seat to seat"}, by the drawing.${hung}`,
  ];
}

const surfaces: ReadonlySet<CauseKind> = new Set([
  "wall behind the subs",
  "side wall",
  "rear wall",
  "ceiling",
  "other surface",
]);

/** What could be done about the dips that take most from most people, one remedy for each kind of cause, and one surface in all. */
function builders({ dips }: StudyResult): string[] {
  const taken = ({ group }: (typeof dips)[number]) => group.depth_db * group.positions_fraction;
  const likely = dips
    .filter((d) => d.verdict === "one element" && d.advice.remedies.length > 0)
    .sort((a, b) => taken(b) - taken(a));
  const once = ({ causes: [{ kind }] }: (typeof dips)[number]) => (surfaces.has(kind) ? "surface" : kind);
  return likely
    .filter((d, i) => likely.findIndex((other) => once(other) === once(d)) === i)
    .slice(0, 2)
    .map(
      ({ group, causes: [{ kind, name }], advice }) =>
        `Around ${Math.round(group.frequency_hz)} Hz the sound cancels itself, most likely by ${named(kind, name)}. ${advice.remedies[0]}`,
    );
}

function named(kind: CauseKind, name: string): string {
  if (kind === "cavity") return `the cavity "${name}"`;
  return surfaces.has(kind) ? `"${name}"` : name;
}
