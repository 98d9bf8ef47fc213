/** Everybody's marks, kept in the teacher's folder, and what is made of them: tables and a page for each student. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { makeFolder, writeWhole } from "../../../lib/files/write";
import { csvOf } from "./csv";
import type { MarkedExercise } from "./mark";

/** What one notebook is worth. */
export interface MarkedNotebook {
  readonly exercises: readonly MarkedExercise[];
  /** What its owner and the teacher should know: cells that failed, a file that could not be read. */
  readonly remarks: readonly string[];
}

export interface MarkedAssignment {
  /** From which the rooms were drawn, so that one student can be marked again in the same. */
  readonly key: string;
  readonly students: { readonly [student: string]: MarkedNotebook };
}

const fileOf = (folder: string, assignment: string) => path.join(folder, "marks", `${assignment}.json`);

export function readMarks(folder: string, assignment: string): MarkedAssignment | undefined {
  const file = fileOf(folder, assignment);
  return existsSync(file) ? JSON.parse(readFileSync(file, "utf8")) : undefined;
}

export function keepMarks(folder: string, assignment: string, marked: MarkedAssignment): void {
  makeFolder(path.join(folder, "marks"));
  writeWhole(fileOf(folder, assignment), `${JSON.stringify(marked, null, 1)}\n`);
}

/** Assignments that have been marked. */
export function markedAssignments(folder: string): string[] {
  const there = path.join(folder, "marks");
  if (!existsSync(there)) return [];
  return readdirSync(there).flatMap((file) => (file.endsWith(".json") ? [file.slice(0, -5)] : []));
}

export const pointsOf = ({ exercises }: MarkedNotebook): number =>
  Math.round(100 * exercises.reduce((sum, one) => sum + one.points, 0)) / 100;
export const mostOf = ({ exercises }: MarkedNotebook): number =>
  exercises.reduce((sum, one) => sum + one.most, 0);

/** A row for each student and assignment, then one for each of its exercises in columns. */
export function marksCsv(folder: string): string {
  const rows = markedAssignments(folder).flatMap((assignment) =>
    Object.entries(readMarks(folder, assignment)?.students ?? {}).map(([student, marked]) => [
      assignment,
      student,
      pointsOf(marked),
      mostOf(marked),
      marked.exercises.map((one) => `${one.id} ${one.points}`).join("; "),
      marked.remarks.join("; "),
    ]),
  );
  return csvOf([["assignment", "student", "points", "of", "exercises", "remarks"], ...rows]);
}

export interface Counted {
  readonly exercise: string;
  readonly misconception: string;
  readonly students: number;
  readonly answers: number;
}

/** Which mistakes a class makes, most students first. */
export function countMisconceptions(marked: readonly MarkedAssignment[]): Counted[] {
  const found = new Map<
    string,
    { exercise: string; misconception: string; who: Set<string>; answers: number }
  >();
  for (const { students } of marked) {
    for (const [student, { exercises }] of Object.entries(students)) {
      for (const { id, tried } of exercises) {
        for (const { misconception, problem } of tried) {
          const mistake = problem ? "no answer" : misconception;
          if (!mistake) continue;
          const key = `${id} ${mistake}`;
          const known = found.get(key) ?? {
            exercise: id,
            misconception: mistake,
            who: new Set<string>(),
            answers: 0,
          };
          found.set(key, { ...known, answers: known.answers + 1, who: known.who.add(student) });
        }
      }
    }
  }
  return [...found.values()]
    .map(({ who, ...rest }) => ({ ...rest, students: who.size }))
    .sort((a, b) => b.students - a.students || b.answers - a.answers || a.exercise.localeCompare(b.exercise));
}

export const misconceptionsCsv = (counted: readonly Counted[]): string =>
  csvOf([
    ["exercise", "misconception", "students", "answers"],
    ...counted.map((c) => [c.exercise, c.misconception, c.students, c.answers]),
  ]);
