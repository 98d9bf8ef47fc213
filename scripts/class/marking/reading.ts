/** What a person marks: students' own words, a page to read them on, and a table to give points in. */
import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { makeFolder, writeWhole } from "../../../lib/files/write";
import { SetupError } from "../../setup/setup-error.mjs";
import { reasons } from "./assignments";
import { csvOf, rowsOf } from "./csv";

/** Points for each line of the rubric, in its order; null where nobody has read it yet. */
export type Read = readonly (number | null)[];

const names = reasons.rubric.map(([name]) => name);

export const readingFile = (folder: string, assignment: string, ending: "csv" | "html") =>
  path.join(folder, "reading", `${assignment}.${ending}`);

/**
 * Points that were given, by student.
 *
 * @throws SetupError with file and line where one is no number from 0 to 1
 */
export function readReading(folder: string, assignment: string): Map<string, Read> {
  const file = readingFile(folder, assignment, "csv");
  if (!existsSync(file)) return new Map();
  const [head = [], ...rows] = rowsOf(readFileSync(file, "utf8"));
  const at = (name: string) => head.indexOf(name);
  for (const name of ["student", ...names])
    if (at(name) < 0) throw new SetupError(`${file}: there is no column "${name}".`);
  return new Map(
    rows.map((row, i) => [
      (row[at("student")] ?? "").replace(/^'(?=[=+\-@])/, ""),
      names.map((name) => pointFrom((row[at(name)] ?? "").trim(), `${file}, line ${i + 2}: ${name}`)),
    ]),
  );
}

function pointFrom(text: string, where: string): number | null {
  if (text === "") return null;
  const point = Number(text.replace(",", "."));
  if (point >= 0 && point <= 1) return point;
  throw new SetupError(`${where} is ${JSON.stringify(text.slice(0, 40))}, expected 0 to 1, or nothing yet.`);
}

/**
 * The table with a row for everyone who wrote something; points that were given stay.
 *
 * @param written  by student
 */
export function keepReading(folder: string, assignment: string, written: ReadonlyMap<string, string>): void {
  const all = new Map(readReading(folder, assignment));
  for (const [student, text] of written)
    if (text !== "" && !all.has(student))
      all.set(
        student,
        names.map(() => null),
      );
  const rows = [...all].map(([student, points]) => [student, ...points.map((point) => point ?? "")]);
  makeFolder(path.join(folder, "reading"));
  writeWhole(readingFile(folder, assignment, "csv"), `${csvOf([["student", ...names], ...rows])}\n`);
}

/** Their sum, to a tenth; null where a line has not been read. */
export function readPoints(read: Read | undefined): number | null {
  if (!read || read.some((point) => point === null)) return null;
  return Math.round(10 * read.reduce((sum: number, point) => sum + (point ?? 0), 0)) / 10;
}

/** Points that a person may give. */
export const mostRead: number = names.length;
