/** A way to decide without programming: a few lines, a word or a number behind each colon. */
import { quoted } from "../../../text/quoted";
import { type ExerciseId, entryOf } from "../catalogue";
import type { Candidate } from "../grade";
import type { PositionChoice } from "../task";
import { type Filled, kinds, type Line } from "./kinds";
import { positionsIn } from "./positions-in";

/** A filled-in form: a way to decide, as `course.grade` tries it. */
export interface Form {
  (one: Candidate): unknown;
  /** How the form was read, a line for each of its lines. */
  readonly words: string;
}

/**
 * A way to decide from a form, for who does not program: where to measure, and one answer or two, each a line with a colon.
 *
 * Lines may come in any order, capitals and commas don't matter, positions are names or metres from the stage and to house
 * left. What the form says is done in every room in which it is tried.
 *
 * @param id  of an exercise on level, delay, polarity, microphones or places, as `course.exercises` lists them
 * @param filled  the lines, such as "measure at: row 1, row 6" and "who counts: everybody"
 * @returns a function for `course.grade`, with `words` that say how the form was read
 * @throws RangeError when the exercise has no form, or a line is missing or is not understood, with what was expected
 * @source own way, no outside source; check: tests/lesson/exercises/form/form.test.ts
 * @example
 * const lines = "measure at: row 1, row 3, row 6\nwho counts: everybody\ntarget: 6 dB\nset the subs by: what was found";
 * course.grade("cellar-level", [1], course.form("cellar-level", lines)).tried.length // 1
 */
export function form(id: ExerciseId, filled: string): Form {
  entryOf(id);
  const kind = kinds.find(({ of }) => of.test(id));
  if (!kind) throw new RangeError(`${id} has no form: write a function for it`);
  const read = readLines(id, kind.lines, filled);
  const words = kind.lines.map(({ key }) => `${key}: ${read.get(key)}`).join("\n");
  const way = (one: Candidate) => kind.decide(one, answersOf(read, one));
  return Object.assign(way, { words });
}

/** The lines of an exercise's form, each with a stand-in that is meant to be replaced; undefined where it has none. */
export const formOf = (id: ExerciseId): readonly Line[] | undefined =>
  kinds.find(({ of }) => of.test(id))?.lines;

function readLines(id: string, lines: readonly Line[], filled: string): Map<string, string> {
  const read = new Map<string, string>();
  for (const text of filled.split("\n").filter((each) => each.trim() !== "")) {
    const [, name, value] = /^([^:]*):(.*)$/.exec(text) ?? [];
    const line = name === undefined ? undefined : lines.find(({ key }) => plain(key) === plain(name));
    if (!line)
      throw new RangeError(
        `${id}: ${quoted(text.trim())} is no line of its form, expected ${lines.map(({ key }) => `"${key}: …"`).join(", ")}`,
      );
    read.set(line.key, meant(id, line, value.trim()));
  }
  for (const { key } of lines)
    if (!read.get(key)) throw new RangeError(`${id}: the line "${key}: …" is empty`);
  return read;
}

/** A choice in its own words, or a number; positions are read in the room that has them. */
function meant(id: string, { key, choices }: Line, value: string): string {
  if (choices === "positions") return value;
  if (choices === "number") {
    const [number] = /-?\d+(\.\d+)?/.exec(value.replaceAll("−", "-").replace(/(\d),(\d)/, "$1.$2")) ?? [];
    if (number !== undefined) return number;
    throw new RangeError(`${id}: "${key}" is ${quoted(value)}, expected a number`);
  }
  const like = choices.filter((choice) => plain(choice) === plain(synonyms.get(plain(value)) ?? value));
  if (like.length === 1) return like[0];
  throw new RangeError(
    `${id}: "${key}" is ${quoted(value)}, expected one of ${choices.map(quoted).join(", ")}`,
  );
}

const synonyms = new Map(
  Object.entries({
    all: "everybody",
    everyone: "everybody",
    audience: "everybody",
    "the audience": "everybody",
    "all positions": "everybody",
    front: "front row",
    back: "back row",
    reversed: "inverted",
    flipped: "inverted",
    "as is": "as it is",
    unchanged: "as it is",
  }),
);

const plain = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, " ")
    .trim();

const answersOf = (read: ReadonlyMap<string, string>, one: Candidate): Filled => ({
  says: (key) => read.get(key) as string,
  number: (key) => Number(read.get(key)),
  positions: (): PositionChoice[] => positionsIn(read.get("measure at") as string, one.positions),
});
