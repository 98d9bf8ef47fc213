/** What can be set for a class: exercises that are decided by a procedure, each with its points and a worked one. */

import type { ExerciseId } from "../../../lib/lesson/exercises/catalogue";

export interface SetExercise {
  readonly id: ExerciseId;
  /** Of the student's function. */
  readonly name: string;
  readonly points: number;
  /** Body of that function; `one` is the exercise. */
  readonly solution: string;
  /** Lines of a form that passes as well. */
  readonly form: string;
  /** Body of a function that is whole and decides badly, for students to alter. */
  readonly standIn: string;
}

export interface Assignment {
  readonly name: string;
  readonly title: string;
  readonly intention: string;
  readonly exercises: readonly SetExercise[];
}

/** The cell that a person reads: what it asks for, a point for each line. */
export const reasons = {
  question: "Why there, who pays, and what can't be changed?",
  rubric: [
    ["why_there", "says of each position which part of the audience it stands for"],
    ["who_pays", "names the seats that get too much or too little, and about how many people that is"],
    ["cant_change", "names what no fader corrects, such as distance, the hang's height or the room, and why"],
    ["figure", "backs it with a figure of their own room, with its unit, and claims no more than that"],
  ],
} as const;

const settingOf = `const choice = decide.alignment(heard).choices[0];
const offset = decide.offset(heard, { delay: choice.delay_ms / 1000, polarity: choice.polarity }).offset_db;
return { offset: offset, delay: choice.delay_ms, polarity: choice.polarity === 1 ? "normal" : "inverted" };`;

const frontRowAlone = (measure: string) => `const heard = one.measure(${measure}); // positions: yours
const found = decide.offset(heard, { targetTilt: 0 }); // the target: what the task says
return found.preferred[0].offset_db; // whose wish is that?`;

const levelAlone = (measure: string) => `const heard = one.measure(${measure}); // positions: yours
const level = decide.offset(heard, { targetTilt: 0 }).offset_db; // the target: what the task says
return { offset: level, delay: 0, polarity: "normal" }; // level alone: yours`;

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
        form: `measure at: 3 3; 7 -1.5; 12 -3.5
who counts: everybody
target: 6 dB
set the subs by: what was found`,
        standIn: frontRowAlone('["row 1"]'),
      },
      {
        id: "theatre-level",
        name: "theatreLevel",
        points: 4,
        solution: `const heard = one.measure(["row D", "row L", "row T", "balcony front"]);
return decide.offset(heard).offset_db;`,
        form: `measure at: row D, row L, row T, balcony front
who counts: everybody
target: 6 dB
set the subs by: what was found`,
        standIn: frontRowAlone('["row A", "row D"]'),
      },
      {
        id: "meadow-delay",
        name: "meadowDelay",
        points: 4,
        solution: `const heard = one.measure(["meadow 2", "meadow 4", "meadow 4 far left"]);
return decide.alignment(heard, { polarity: 1 }).choices[0].delay_ms;`,
        form: `measure at: meadow 2, meadow 4, meadow 4 far left
align for: everybody
polarity: as it is
look at: the sum
set the subs by: what was found`,
        standIn: `const heard = one.measure(["mix position"]); // positions: yours
const choices = decide.alignment(heard).choices; // polarity, says the task, is right
return choices[choices.length - 1].delay_ms; // the last of the choices: yours`,
      },
      {
        id: "cellar-polarity",
        name: "cellarPolarity",
        points: 3,
        solution: `const heard = one.measure([{ x: 3, y: 2 }, { x: 7, y: -3 }, { x: 12, y: 1 }]);
const choice = decide.alignment(heard, { delays: [0, 0] }).choices[0];
return choice.polarity === 1 ? "normal" : "inverted";`,
        form: `measure at: 3 2; 7 -3; 12 1
loudest sum for: everybody
look at: the sum
delay: as it is
answer: what was found`,
        standIn: `const heard = one.measure(["mix position"]); // positions: yours
const choice = decide.alignment(heard).choices[0]; // with any delay: is it free here?
return "normal"; // choice.polarity is 1 or -1: yours`,
      },
    ],
  },
  {
    name: "places",
    title: "Where to measure, where to judge",
    intention: "Four microphones in a wide room, a place for the console, and a number for the tape on it.",
    exercises: [
      {
        id: "wide-level",
        name: "wideLevel",
        points: 4,
        solution: `const heard = one.measure([{ x: 4.5, y: 8 }, { x: 9, y: -3 }, { x: 14.5, y: 12 }, { x: 12, y: -9 }]);
return decide.offset(heard).offset_db;`,
        form: `measure at: 4.5 8; 9 -3; 14.5 12; 12 -9
who counts: everybody
target: 6 dB
set the subs by: what was found`,
        standIn: frontRowAlone("[{ x: 4, y: 0 }]"),
      },
      {
        id: "cellar-place",
        name: "cellarPlace",
        points: 4,
        solution: place,
        form: `measure at: row 1, row 3, row 6, bar
venue: fits at all but two
choose by: ranking
of the last, tell: what was found`,
        standIn: `const people = predict.survey(one.venue, venues.seats(one.venue, { count: 60 })); // as drawn: is it?
const six = one.positions.filter(({ id }) => id.startsWith("place"));
const candidates = six.map(({ id, point }) => ({ id: id, point: point, area: "front of house", people: 0 }));
const ranked = decide.rankPositions(people, predict.survey(one.venue, candidates)).positions;
return { place: ranked[5].id, last: ranked[0].id, correction: 0 }; // which, and how much: yours`,
      },
      {
        id: "hall-mix",
        name: "hallMix",
        points: 4,
        solution: correction,
        form: `level for: everybody
listen at: mix position
tell the engineer: what was found
target: 6 dB`,
        standIn: `const console = one.positions.filter(({ id }) => id === "mix position");
const ears = console.map(({ id, point }) => ({ id: id, point: point, area: "front of house", people: 0 }));
const there = predict.survey(one.venue, ears);
return decide.balance(there, { offset: -6 }).positions[0].deviation_db; // at which level of the subs? yours`,
      },
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
        form: `measure at: meadow 1, meadow 2, meadow 3, meadow 4, meadow 6, meadow 4 far left
order: time then level
target: 6 dB
set the subs by: what was found`,
        standIn: levelAlone('["meadow 1"]'),
      },
      {
        id: "cellar-everything",
        name: "cellarEverything",
        points: 6,
        solution: `const heard = one.measure([{ x: 3, y: -4 }, { x: 6, y: 1.5 }, { x: 8, y: -3 }, { x: 11, y: 4 }, { x: 13, y: -2 }]);
${settingOf}`,
        form: `measure at: 3 -4; 6 1.5; 8 -3; 11 4; 13 -2
order: time then level
target: 6 dB
set the subs by: what was found`,
        standIn: levelAlone('["row 1"]'),
      },
    ],
  },
];
