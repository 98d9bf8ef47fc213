/**
 * What an assignment gives to answers that know nothing: one answer to all rooms, answers and forms drawn at random, the cells as
 * they were handed out; and to the worked way.
 *
 *     node scripts/run.mjs --without-tests scripts/marking-chance.ts [KEYS [ASSIGNMENT]]
 */
import { type Answer, exerciseIn } from "../lib/lesson/exercises/exercise";
import { form, formOf } from "../lib/lesson/exercises/form/form";
import type { Candidate } from "../lib/lesson/exercises/grade";
import { uniform } from "../lib/numeric/random";
import { seats } from "../lib/venue/seats";
import { assignments, type SetExercise } from "./class/marking/assignments";
import { constantsOf, shareOf } from "./class/marking/blind";
import { creditOf, FORM_COUNTS } from "./class/marking/credit";
import { drawRooms, type HiddenRooms, type MarkedRoom, wayFrom } from "./class/marking/rooms";

const keys = Number(process.argv[2] ?? 1);
const only = process.argv[3];
const ANSWERS = 40;
const FORMS = 60;
const random = uniform(2026);
const between = (low: number, high: number) => low + random() * (high - low);
const oneOf = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)];
const mean = (list: readonly number[]) => list.reduce((sum, x) => sum + x, 0) / list.length;

/** Every way, with its mean credit, 0 to 1, in an exercise's rooms. */
const ways: readonly [string, (one: SetExercise, hidden: HiddenRooms) => number][] = [
  ["worked way", (one, hidden) => creditFor(hidden, wayFrom(one.solution))],
  ["its form", (one, hidden) => creditFor(hidden, form(one.id, one.form), FORM_COUNTS)],
  ["best constant", bestConstant],
  ["answers at random", answersAtRandom],
  ["forms at random", formsAtRandom],
  ["function as handed out", (one, hidden) => creditFor(hidden, wayFrom(one.standIn))],
  [
    "form as handed out",
    (one, hidden) =>
      creditFor(
        hidden,
        form(
          one.id,
          filled(one, (line) => line.standIn),
        ),
        FORM_COUNTS,
      ),
  ],
];

console.log(`| assignment | exercise | points | ${ways.map(([name]) => name).join(" | ")} |`);
console.log(`| --- | --- | --- |${ways.map(() => " --- |").join("")}`);
for (const { name, exercises } of assignments) {
  if (only && name !== only) continue;
  const earned = ways.map(() => 0);
  for (const one of exercises) {
    const credits = ways.map(() => 0);
    for (let k = 1; k <= keys; k++) {
      const hidden = drawRooms(one, Buffer.alloc(32, k));
      ways.forEach(([, way], i) => {
        credits[i] += way(one, hidden) / keys;
      });
    }
    credits.forEach((credit, i) => {
      earned[i] += credit * one.points;
    });
    row(name, one.id, one.points, credits);
  }
  const most = exercises.reduce((sum, { points }) => sum + points, 0);
  row(
    name,
    "all",
    most,
    earned.map((points) => points / most),
  );
}

function row(assignment: string, exercise: string, points: number, credits: readonly number[]): void {
  const cells = credits.map((credit) => `${(100 * credit).toFixed(1)} %`);
  console.log(`| ${assignment} | ${exercise} | ${points} | ${cells.join(" | ")} |`);
}

function creditFor({ rooms, blind }: HiddenRooms, way: (one: Candidate) => unknown, least = 0): number {
  const shares: number[] = [];
  let lost = 0;
  for (const marked of rooms) {
    const share = shareBy(marked, way);
    lost += 1 - share;
    if (1 - lost / rooms.length < least) return 0; // whatever comes
    shares.push(share);
  }
  return creditOf(shares, blind, least);
}

function shareBy({ room, worked }: MarkedRoom, way: (one: Candidate) => unknown): number {
  const one = exerciseIn(room);
  try {
    return Math.min(1, one.check(way(one)).score / worked);
  } catch {
    return 0;
  }
}

/** Through the student's door: seats near a microphone don't count there, so a constant may earn a trace more than it was reckoned. */
function bestConstant(_: SetExercise, hidden: HiddenRooms): number {
  const all = constantsOf(hidden.rooms);
  const mostly = all.map((answer) => mean(hidden.rooms.map((room) => shareOf(room, answer))));
  const best = all[mostly.indexOf(Math.max(...mostly))];
  return creditFor(hidden, () => best);
}

function answersAtRandom(_: SetExercise, { rooms, blind }: HiddenRooms): number {
  const shares = rooms.map((marked) =>
    Array.from({ length: ANSWERS }, () => shareOf(marked, answerAtRandom(marked))),
  );
  // Students, each of whom draws an answer in each room.
  return mean(Array.from({ length: 2000 }, () => creditOf(shares.map(oneOf), blind)));
}

function answerAtRandom({ room }: MarkedRoom): Answer {
  const { best } = room.judgeWith([]);
  if (room.task.choices) return oneOf(room.task.choices);
  if (typeof best === "number") return between(-10, 10);
  const [place, last] = shuffled([..."ABCDEF"]).map((letter) => `place ${letter}`);
  if (typeof best === "object" && "place" in best) return { place, last, correction: between(-10, 10) };
  return { offset: between(-10, 10), delay: between(-5, 5), polarity: oneOf(["normal", "inverted"]) };
}

function formsAtRandom(one: SetExercise, hidden: HiddenRooms): number {
  const { task, entry } = hidden.rooms[0].room;
  const audience = seats(task.drawing, { count: 200 });
  const credits = Array.from({ length: FORMS }, () => {
    const text = filled(one, ({ choices }) => {
      if (choices === "number") return String(Math.round(between(0, 12)));
      if (choices !== "positions") return oneOf(choices);
      const points = Array.from({ length: entry.microphones }, () => oneOf(audience).point);
      return points.map(({ x, y }) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("; ");
    });
    return creditFor(hidden, form(one.id, text), FORM_COUNTS);
  });
  return mean(credits);
}

function filled(
  { id }: SetExercise,
  fill: (line: NonNullable<ReturnType<typeof formOf>>[number]) => string,
): string {
  return (formOf(id) ?? []).map((line) => `${line.key}: ${fill(line)}`).join("\n");
}

function shuffled<T>(list: readonly T[]): T[] {
  const left = [...list];
  return list.map(() => left.splice(Math.floor(random() * left.length), 1)[0]);
}
