/**
 * `node scripts/run.mjs scripts/wave-truth.ts [NAME]`: ten venues by waves on the usual cells, and by paths, beside waves on
 * cells of half the side, which are held for true. NAME takes those whose name holds it.
 */
import { modelSurvey } from "../lib/field/model-survey";
import { noWaves } from "../lib/field/waves/low-band";
import { cubeOf } from "../lib/field/waves/room";
import { partOfSurvey } from "../lib/survey/part";
import type { Survey } from "../lib/survey/survey";
import { frontOfHousePositions, seats } from "../lib/venue/seats";
import type { Venue } from "../lib/venue/venue";
import { runCommand } from "./setup/setup-error.mjs";
import { type Figures, figuresOf, type Model, quantileOf, thirds } from "./wave-truth/figures";
import { fineSurvey } from "./wave-truth/fine";
import { venues } from "./wave-truth/venues";

/** Side of a finer cube, of a usual one's. */
const FINER = 0.5;
const SEATS = 100;

runCommand(() => {
  const asked = process.argv[2] ?? "";
  const all: { waves: Figures; paths: Figures }[] = [];
  console.log(
    "| venue | m | | subs: median, 90 % | mains | loss, dB (by chance) | correlation | within 3 dB: promised, true |",
  );
  console.log("| --- | --- | --- | --- | --- | --- | --- | --- |");
  for (const venue of venues().filter(({ name }) => name.includes(asked))) {
    const figures = compare(venue);
    all.push(figures);
    for (const by of ["waves", "paths"] as const) console.log(rowOf(venue, by, figures[by]));
  }
  console.log(
    `\n| error of the subs, dB: median, 90 % of ${all.length} venues together | ${thirds.join(" Hz | ")} Hz |`,
  );
  console.log(`| --- |${thirds.map(() => " --- |").join("")}`);
  for (const by of ["waves", "paths"] as const) {
    const cells = thirds.map((_, k) => both(all.map((f) => f[by].subs[k])));
    console.log(`| ${by} | ${cells.join(" | ")} |`);
  }
  return 0;
});

function compare(venue: Venue): { waves: Figures; paths: Figures } {
  const why = noWaves(venue);
  if (why) throw new RangeError(`${venue.name}: ${why}`);
  const people = seats(venue, { count: SEATS });
  const positions = [...people, ...frontOfHousePositions(venue)];
  const places = positions.map((_, i) => i);
  const parts = (survey: Survey): Model => ({
    seats: partOfSurvey(survey, places.slice(0, people.length)),
    zone: partOfSurvey(survey, places.slice(people.length)),
  });
  const truth = parts(fineSurvey(venue, positions, FINER * cubeOf(venue)));
  const by = (lowBand: "waves" | "paths"): Figures =>
    figuresOf(parts(modelSurvey(venue, positions, { lowBand })), truth);
  return { waves: by("waves"), paths: by("paths") };
}

/** Median and 90th percentile of sorted errors. */
function both(errors: readonly Float64Array[]): string {
  const sorted = Float64Array.from(errors.flatMap((e) => [...e])).sort();
  return `${quantileOf(sorted, 0.5).toFixed(2)}, ${quantileOf(sorted, 0.9).toFixed(2)}`;
}

function rowOf(
  venue: Venue,
  by: string,
  { subs, mains, loss, chance, correlation, promised, reached }: Figures,
): string {
  const cells = [
    by === "waves" ? venue.name : "",
    by === "waves" ? cubeOf(venue).toFixed(2) : "",
    by,
    both(subs),
    both(mains),
    `${loss.toFixed(2)} (${chance.toFixed(2)})`,
    correlation.toFixed(2),
    `${(100 * promised).toFixed(0)} %, ${(100 * reached).toFixed(0)} %`,
  ];
  return `| ${cells.join(" | ")} |`;
}
