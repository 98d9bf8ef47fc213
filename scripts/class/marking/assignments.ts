/** What can be set for a class: exercises that are decided by a procedure, each with its points and a worked one. */

import type { ExerciseId } from "../../../lib/lesson/exercises/catalogue";

export interface SetExercise {
  readonly id: ExerciseId;
  /** Of the student's function. */
  readonly name: string;
  readonly points: number;
  /** Body of that function; `one` is the exercise. */
  readonly solution: string;
}

export interface Assignment {
  readonly name: string;
  readonly title: string;
  readonly intention: string;
  readonly exercises: readonly SetExercise[];
}

const settingOf = `const choice = decide.alignment(heard).choices[0];
const offset = decide.offset(heard, { delay: choice.delay_ms / 1000, polarity: choice.polarity }).offset_db;
return { offset: offset, delay: choice.delay_ms, polarity: choice.polarity === 1 ? "normal" : "inverted" };`;

const place = `const heard = one.measure(["row 1", "row 3", "row 6", "bar"]);
const low = [...heard.frequency.keys()].filter((k) => heard.frequency[k] > 25 && heard.frequency[k] < 125);
const square = (a, b) => low.reduce((sum, k) => sum + (a.re[k] - b.re[k]) ** 2 + (a.im[k] - b.im[k]) ** 2, 0);
const zero = { re: heard.frequency.map(() => 0), im: heard.frequency.map(() => 0) };
const fits = one.suspects.map((suspect) => {
  const model = predict.survey(suspect.venue, heard.positions);
  const apart = heard.subs.map((r, i) => square(r, model.subs[i]) / square(model.subs[i], zero));
  // One microphone has a fault, or two have each other's label: the two that fit best decide.
  const two = apart.sort((a, b) => a - b).slice(0, 2);
  return { venue: suspect.venue, left: two[0] + two[1] }; });
const { venue } = fits.sort((a, b) => a.left - b.left)[0];
const audience = predict.survey(venue, venues.seats(venue, { count: 100 }));
const named = one.positions.filter((p) => p.id.startsWith("place"));
const standing = named.map((p) => ({ id: p.id, point: p.point, area: "front of house", people: 0 }));
const ranked = decide.rankPositions(audience, predict.survey(venue, standing)).positions;
return { place: ranked[0].id, last: ranked[5].id, correction: ranked[5].bias_db };`;

const correction = `const audience = predict.survey(one.venue, venues.seats(one.venue, { count: 100 }));
const mix = one.positions.filter((p) => p.id === "mix position");
const standing = mix.map((p) => ({ id: p.id, point: p.point, area: "front of house", people: 0 }));
const offset = decide.offset(audience).offset_db;
return decide.balance(predict.survey(one.venue, standing), { offset: offset }).positions[0].deviation_db;`;

export const assignments: readonly Assignment[] = [
  {
    name: "one-decision",
    title: "One decision",
    intention:
      "Level, delay and polarity, each alone. What counts is a way to decide that holds in a room you have not seen.",
    exercises: [
      {
        id: "cellar-level",
        name: "cellarLevel",
        points: 4,
        solution: `const heard = one.measure([{ x: 3, y: 3 }, { x: 7, y: -1.5 }, { x: 12, y: -3.5 }]);
return decide.offset(heard).offset_db;`,
      },
      {
        id: "theatre-level",
        name: "theatreLevel",
        points: 4,
        solution: `const heard = one.measure(["row D", "row L", "row T", "balcony front"]);
return decide.offset(heard).offset_db;`,
      },
      {
        id: "meadow-delay",
        name: "meadowDelay",
        points: 4,
        solution: `const heard = one.measure(["meadow 2", "meadow 4", "meadow 4 far left"]);
return decide.alignment(heard, { polarity: 1 }).choices[0].delay_ms;`,
      },
      {
        id: "ballroom-polarity",
        name: "ballroomPolarity",
        points: 3,
        solution: `const heard = one.measure([{ x: 10, y: 2 }, { x: 20, y: -3 }, { x: 33, y: 1 }]);
const choice = decide.alignment(heard, { delays: [0, 0] }).choices[0];
return choice.polarity === 1 ? "normal" : "inverted";`,
      },
    ],
  },
  {
    name: "places",
    title: "Where to measure, where to judge",
    intention: "Three microphones in a wide room, a place for the console, and a number for the tape on it.",
    exercises: [
      {
        id: "wide-microphones",
        name: "wideMicrophones",
        points: 4,
        solution: `return [{ x: 4.5, y: 8 }, { x: 9, y: -3 }, { x: 14.5, y: 12 }];`,
      },
      { id: "cellar-place", name: "cellarPlace", points: 4, solution: place },
      { id: "hall-mix", name: "hallMix", points: 4, solution: correction },
    ],
  },
  {
    name: "together",
    title: "All together",
    intention: "Level, delay and polarity at once, outdoors and in a cellar.",
    exercises: [
      {
        id: "meadow-everything",
        name: "meadowEverything",
        points: 6,
        solution: `const heard = one.measure(["meadow 1", "meadow 2", "meadow 3", "meadow 4", "meadow 6", "meadow 4 far left"]);
${settingOf}`,
      },
      {
        id: "cellar-everything",
        name: "cellarEverything",
        points: 6,
        solution: `const heard = one.measure([{ x: 3, y: -4 }, { x: 6, y: 1.5 }, { x: 8, y: -3 }, { x: 11, y: 4 }, { x: 13, y: -2 }]);
${settingOf}`,
      },
    ],
  },
];
