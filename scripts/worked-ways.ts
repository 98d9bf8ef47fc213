/**
 * How often the way that the course teaches passes an exercise that one measures for: microphones spread over depth and width,
 * then what the lessons say to do with what they heard.
 *
 *     node scripts/run.mjs scripts/worked-ways.ts [VARIANTS [ID …]]
 */
import { alignment } from "../lib/decision/alignment/alignment";
import { prepareBalance } from "../lib/decision/balance/balance";
import { levelOffset } from "../lib/decision/offset/offset";
import { modelSurvey, responder } from "../lib/field/model-survey";
import { catalogue, type ExerciseId, entryOf } from "../lib/lesson/exercises/catalogue";
import { type Exercise, exerciseOf } from "../lib/lesson/exercises/exercise";
import { withSources } from "../lib/lesson/exercises/kinds/faults";
import type { Survey } from "../lib/survey/survey";
import { seats } from "../lib/venue/seats";
import type { Source, Venue } from "../lib/venue/venue";

type Way = (one: Exercise) => unknown;

const ways: readonly (readonly [of: RegExp, way: Way])[] = [
  [/-level$/, (one) => levelOffset(heardBy(one)).offset_db],
  [/-worst$/, (one) => levelOffset(one.measure(extremes(one)), { criterion: "least worst" }).offset_db],
  [/-delay$/, (one) => alignment(heardBy(one), { polarity: 1 }).choices[0].delay_ms],
  [
    /-polarity$/,
    (one) => {
      const [{ polarity }] = alignment(heardBy(one), { delays: [0, 0] }).choices;
      return polarity === 1 ? "normal" : "inverted";
    },
  ],
  [
    /-everything$/,
    (one) => {
      const heard = heardBy(one);
      const [{ delay_ms, polarity }] = alignment(heard).choices;
      const { offset_db } = levelOffset(heard, { delay: delay_ms / 1000, polarity });
      return { offset: offset_db, delay: delay_ms, polarity: polarity === 1 ? "normal" : "inverted" };
    },
  ],
  [/-microphones$/, (one) => spread(one)],
  [
    /-wiring$/,
    (one) => {
      const heard = heardBy(one);
      const left = (turn: string) => misfit(heard, subsOf(rewired(one.venue, turn), heard));
      return [...one.choices].sort((a, b) => left(a as string) - left(b as string))[0];
    },
  ],
  [
    /-microphone$/,
    (one) => {
      const heard = one.measure(one.choices as readonly string[]);
      const model = subsOf(one.venue, heard);
      // What the low cut takes is seen in how far the trace leans from its model, whatever its level.
      const lean = heard.subs.map(
        (_, i) =>
          power(heard, i, 25, 45) -
          power(model, i, 25, 45) -
          power(heard, i, 63, 125) +
          power(model, i, 63, 125),
      );
      return heard.positions[lean.indexOf(Math.min(...lean))].id;
    },
  ],
];

/** Places of seats: one from each part of the depth, each at another distance from the middle, on alternating sides. */
function spread(one: Exercise): { x: number; y: number; area: string }[] {
  const count = one.microphonesLeft;
  const people = [...seats(one.venue, { count: 300 })].sort((a, b) => a.point.x - b.point.x);
  return Array.from({ length: count }, (_, i) => {
    const part = people.slice(
      Math.floor((i * people.length) / count),
      Math.floor(((i + 1) * people.length) / count),
    );
    const half = Math.max(...part.map(({ point }) => Math.abs(point.y)));
    const y = half * ASIDE[i % ASIDE.length];
    const middle = part[Math.floor(part.length / 2)].point.x;
    const [{ point, area }] = part.sort((a, b) => away(a.point, middle, y) - away(b.point, middle, y));
    return { x: point.x, y: point.y, area };
  });
}
/** Where the drawing's model has most and least bass: the worst seat is one of them. */
function extremes(one: Exercise): { x: number; y: number; area: string }[] {
  const survey = modelSurvey(one.venue, seats(one.venue, { count: 100 }));
  const { positions } = prepareBalance(survey).evaluate(0);
  const order = [...positions.keys()].sort((a, b) => positions[a].deviation_db - positions[b].deviation_db);
  const chosen = [order[0], order[order.length - 1], order[1], order[order.length - 2], order[2]];
  return chosen.slice(0, one.microphonesLeft).map((i) => {
    const { point, area } = survey.positions[i];
    return { x: point.x, y: point.y, area };
  });
}
const away = (point: { x: number; y: number }, x: number, y: number) => Math.hypot(point.x - x, point.y - y);
/** Of half the width. */
const ASIDE = [0.6, -0.25, -0.7, 0.35, -0.5, 0.1];

const heardBy = (one: Exercise): Survey => one.measure(spread(one));

function subsOf(venue: Venue, heard: Survey): Survey {
  const places = heard.positions.map(({ point }) => point);
  return { ...heard, subs: places.map(responder(venue, "subs", places, { frequency: heard.frequency })) };
}

function rewired(venue: Venue, turn: string): Venue {
  const side = /left|right/.exec(turn)?.[0];
  const isTurned = (s: Source) =>
    s.group === "subs" && side !== undefined && s.point.y > 0 === (side === "left");
  return withSources(venue, isTurned, (s) => ({ polarity: s.polarity === 1 ? -1 : 1 }));
}

/** What is left of the measured subs' low band when the model's are taken off. */
function misfit(heard: Survey, model: Survey): number {
  let sum = 0;
  heard.subs.forEach((r, i) => {
    heard.frequency.forEach((f, k) => {
      if (f > 25 && f < 125)
        sum += (r.re[k] - model.subs[i].re[k]) ** 2 + (r.im[k] - model.subs[i].im[k]) ** 2;
    });
  });
  return sum;
}

/** Mean power of the subs at a position from one frequency to another, dB. */
function power({ frequency, subs }: Survey, i: number, from: number, to: number): number {
  const at = [...frequency.keys()].filter((k) => frequency[k] >= from && frequency[k] <= to);
  return 10 * Math.log10(at.reduce((sum, k) => sum + subs[i].re[k] ** 2 + subs[i].im[k] ** 2, 0) / at.length);
}

const [count = "12", ...ids] = process.argv.slice(2);
const wanted = ids.length > 0 ? ids : catalogue.map(({ id }) => id);
console.log("| | passes | mean | lowest | variants |\n| --- | --- | --- | --- | --- |");
for (const id of wanted) {
  const way = ways.find(([of]) => of.test(id))?.[1];
  if (!way) continue;
  const scores = Array.from({ length: Number(count) }, (_, i) => {
    const one = exerciseOf(entryOf(id as ExerciseId), i + 1, true);
    return one.check(way(one)).score;
  });
  const mean = scores.reduce((sum, x) => sum + x, 0) / scores.length;
  console.log(
    `| ${id} | ${scores.filter((s) => s >= 80).length} | ${mean.toFixed(0)} | ${Math.min(...scores)} | ${scores.length} |`,
  );
  if (process.env.EACH) console.error(id, scores.join(" "));
}
