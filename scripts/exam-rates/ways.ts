/** Ways to answer an exercise or a capstone: as lazy students would, and as a careful technician does. */
import { alignment } from "../../lib/decision/alignment/alignment";
import { prepareBalance } from "../../lib/decision/balance/balance";
import { levelOffset } from "../../lib/decision/offset/offset";
import { rankReferences } from "../../lib/decision/reference/rank";
import type { RankedPosition } from "../../lib/decision/reference/result";
import type { Capstone } from "../../lib/lesson/capstones/capstone";
import { handOverText } from "../../lib/lesson/capstones/hand-over";
import type { Exercise } from "../../lib/lesson/exercises/exercise";
import { surveyWithSubs } from "../../lib/lesson/exercises/kinds/faults";
import type { Setting } from "../../lib/lesson/exercises/task";
import { partOfSurvey } from "../../lib/survey/part";
import type { Position, Survey } from "../../lib/survey/survey";
import { frontOfHousePositions, seats } from "../../lib/venue/seats";
import type { Venue } from "../../lib/venue/venue";
import { investigate } from "./technician";

export const ways = ["nothing", "random", "drawing", "microphones", "copied", "careful"] as const;
export type Way = (typeof ways)[number];

/** Predictions of a venue, kept while its room is: many variants ask for the same. */
export type Predict = (venue: Venue, positions: readonly Position[]) => Survey;

const standingAt = (one: Pick<Exercise, "positions">, wanted: RegExp): Position[] =>
  one.positions.filter((p) => wanted.test(p.id)).map((p) => ({ ...p, area: "front of house", people: 0 }));

/** Microphones among the people: spread over the named positions, one beside the centre line if there is one. */
export function spreadOf(one: Pick<Exercise, "positions">, count: number): string[] {
  const names = one.positions.map((p) => p.id).filter((id) => !/^place |mix position/.test(id));
  const aside = names.filter((id) => /left|right|centre|balcony|gallery|bar/.test(id));
  const rows = names.filter((id) => !aside.includes(id));
  const chosen = aside.slice(0, count > 4 ? 2 : 1);
  const left = count - chosen.length;
  const along = Array.from(
    { length: left },
    (_, i) => rows[Math.round((i * (rows.length - 1)) / Math.max(1, left - 1))],
  );
  return [...along, ...chosen];
}

/** A place among six, with the correction there. */
export function placeAnswer(one: Exercise, way: Way, random: () => number, predict: Predict): unknown {
  const standing = standingAt(one, /^place /);
  const rankIn = (venue: Venue) => {
    const people = predict(venue, seats(venue, { count: 100 }));
    const { positions } = rankReferences(people, predict(venue, standing));
    const last = positions[positions.length - 1];
    return { place: positions[0].id, last: last.id, correction: last.bias_db };
  };
  if (way === "nothing") return { place: "place A", last: "place B", correction: 0 };
  if (way === "random")
    return {
      place: standing[Math.floor(random() * 6)].id,
      last: standing[Math.floor(random() * 6)].id,
      correction: 12 * random() - 6,
    };
  if (way === "drawing") return rankIn(one.venue);
  if (way === "copied") {
    // The lesson's cells as they stand: four microphones, and the drawing believed.
    one.measure(spreadOf(one, 4));
    return rankIn(one.venue);
  }
  const count = 4;
  if (way === "microphones") {
    const people = spreadOf(one, count - 2);
    const places = [0, 1].map((i) => standing[(i + Math.floor(random() * 5)) % 6].id);
    const heard = one.measure([...people, ...new Set(places)]);
    const rows = heard.positions.map((p) => p.id);
    const { positions } = prepareBalance(heard).evaluate(levelOffset(heard).offset_db);
    const at = (id: string) => positions[rows.indexOf(id)].deviation_db;
    const mean = people.reduce((s, id) => s + at(id), 0) / people.length;
    const [first, last] = places.sort((a, b) => Math.abs(at(a) - mean) - Math.abs(at(b) - mean));
    return { place: first, last: last, correction: at(last) - mean };
  }
  const heard = one.measure(spreadOf(one, count));
  const found = investigate(one.suspects, heard, true, (venue) => predict(venue, heard.positions));
  return rankIn(found.venue);
}

/** A hand-over. */
export function handOverOf(one: Capstone, way: Way, random: () => number, predict: Predict): string {
  const zone = frontOfHousePositions(one.venue, { spacing: 1.5 });
  const text = (
    setting: Setting,
    at: { x: number; y: number },
    correction_db: number,
    bands: readonly { frequency_hz: number; heard_db: number }[],
  ) => handOverText({ setting, position: at, correction_db, bands });
  const middle = zone[Math.floor(zone.length / 2)].point;
  const none = { offset: 0, delay: 0, polarity: "normal" } as const;
  if (way === "nothing") return text(none, middle, 0, []);
  if (way === "random") {
    const setting = {
      offset: 16 * random() - 8,
      delay: 10 * random() - 5,
      polarity: random() < 0.5 ? ("normal" as const) : ("inverted" as const),
    };
    return text(setting, zone[Math.floor(random() * zone.length)].point, 8 * random() - 4, [
      { frequency_hz: 50, heard_db: 8 * random() - 4 },
    ]);
  }
  const settingOf = (heard: Survey) => {
    const [{ delay_ms, polarity }] = alignment(heard).choices;
    const { offset_db } = levelOffset(heard, { delay: delay_ms / 1000, polarity });
    return {
      offset: offset_db,
      delay: delay_ms,
      polarity: polarity === 1 ? ("normal" as const) : ("inverted" as const),
    };
  };
  const placeIn = (people: Survey, standing: Survey, options: object = {}) => {
    const { positions, thirdOctaves_hz } = rankReferences(people, standing, options);
    return { best: positions[0], bands: strays(positions[0], thirdOctaves_hz) };
  };
  const inDrawing = () =>
    placeIn(predict(one.venue, seats(one.venue, { count: 120 })), predict(one.venue, zone));
  if (way === "drawing") {
    const { best, bands } = inDrawing();
    return text(none, best.point, best.bias_db, bands);
  }
  const spread = spreadOf(one, one.microphones);
  if (way === "microphones") {
    // Four among the people and one in the zone: there the engineer stands.
    const { x, y } = middle;
    const heard = one.measure([...spread.slice(0, one.microphones - 1), { x, y }]);
    const setting = settingOf(heard);
    const last = heard.positions.length - 1;
    const people = partOfSurvey(heard, [...Array(last).keys()]);
    const { best, bands } = placeIn(people, partOfSurvey(heard, [last]), {
      ...asOptions(setting),
    });
    return text(setting, { x, y }, best.bias_db, bands);
  }
  if (way === "copied") {
    const setting = settingOf(one.measure(one.positions.slice(0, one.microphones).map((p) => p.id)));
    const { best, bands } = inDrawing();
    return text(setting, best.point, best.bias_db, bands);
  }
  // First the run as found, then one with the subs so far down that no limiter works: the second is believed.
  one.measure(spread);
  const heard = one.measure(spread, { setting: { offset: -DOWN, delay: 0, polarity: "normal" } });
  const found = investigate(one.suspects, heard, false, (venue) => predict(venue, heard.positions));
  const { gain, delay, polarity } = found.played;
  const asPlayed = (survey: Survey) =>
    surveyWithSubs(survey, { gain: gain + DOWN, delay, inverted: polarity === -1 });
  const people = asPlayed(predict(found.venue, seats(found.venue, { count: 120 })));
  const setting = settingOf(people);
  const { best, bands } = placeIn(people, asPlayed(predict(found.venue, zone)), asOptions(setting));
  return text(setting, best.point, best.bias_db, bands);
}

/** dB */
const DOWN = 10;

/** A setting as decisions take it, seconds. */
const asOptions = ({ offset, delay, polarity }: Setting) =>
  ({ offset, delay: delay / 1000, polarity: polarity === "normal" ? 1 : -1 }) as const;

/** Low bands that stray most from what is heard on the whole. */
function strays({ difference_db, bias_db }: RankedPosition, thirds: readonly number[]) {
  return thirds
    .map((frequency_hz, k) => ({ frequency_hz, heard_db: difference_db[k] }))
    .filter((b) => b.frequency_hz >= 31.5 && b.frequency_hz <= 125 && Math.abs(b.heard_db - bias_db) >= 1)
    .sort((a, b) => Math.abs(b.heard_db - bias_db) - Math.abs(a.heard_db - bias_db))
    .slice(0, 3);
}
