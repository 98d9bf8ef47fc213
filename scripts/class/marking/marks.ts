/** Everybody's marks, kept in the teacher's folder, and what is made of them: tables and a page for each student. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { makeFolder, writeWhole } from "../../../lib/files/write";
import { csvOf } from "./csv";
import type { MarkedExercise } from "./mark";
import { mostRead, type Read, readPoints, readReading } from "./reading";

/** What one notebook is worth. */
export interface MarkedNotebook {
  readonly exercises: readonly MarkedExercise[];
  /** What a person is to read. */
  readonly written: string;
  /** What its owner and the teacher should know: cells that failed, a file that could not be read. */
  readonly remarks: readonly string[];
}

export interface MarkedAssignment {
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

/** Points of the exercises, to a tenth. */
export const pointsOf = ({ exercises }: MarkedNotebook): number =>
  Math.round(10 * exercises.reduce((sum, one) => sum + one.points, 0)) / 10;
export const mostOf = ({ exercises }: MarkedNotebook): number =>
  exercises.reduce((sum, one) => sum + one.most, 0);

/** Points for a student's own words; null where they are still to be read. */
export const reasonsOf = ({ written }: MarkedNotebook, read: Read | undefined): number | null =>
  written === "" ? 0 : readPoints(read);

/** Everything together, with what a person gave for a student's own words. */
export function totalOf(marked: MarkedNotebook, read: Read | undefined): { points: number; of: number } {
  const points = pointsOf(marked) + (reasonsOf(marked, read) ?? 0);
  return { points: Math.round(10 * points) / 10, of: mostOf(marked) + mostRead };
}

/** A row for each student and assignment, a column for each exercise: empty where it is another assignment's. */
export function marksCsv(folder: string): string {
  const all = markedAssignments(folder).map((assignment) => ({
    assignment,
    students: Object.entries(readMarks(folder, assignment)?.students ?? {}),
    read: readReading(folder, assignment),
  }));
  const ids = new Set(
    all.flatMap(({ students }) => students.flatMap(([, { exercises }]) => exercises.map(({ id }) => id))),
  );
  const rows = all.flatMap(({ assignment, students, read }) =>
    students.map(([student, marked]) => {
      const { points, of } = totalOf(marked, read.get(student));
      const byId = new Map(marked.exercises.map((one) => [one.id, one.points]));
      const reasons = reasonsOf(marked, read.get(student));
      const remarks = reasons === null ? ["its reasons are not read yet", ...marked.remarks] : marked.remarks;
      return [
        assignment,
        student,
        points,
        of,
        ...[...ids].map((id) => byId.get(id) ?? ""),
        reasons ?? "",
        remarks.join("; "),
      ];
    }),
  );
  return csvOf([["assignment", "student", "points", "of", ...ids, "reasons", "remarks"], ...rows]);
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
