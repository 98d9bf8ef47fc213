/** Marks notebooks, some at once. One that can't be marked costs nobody else a mark. */
import { lstatSync } from "node:fs";
import type { Sandbox } from "../sandbox/sandbox";
import { openStudent } from "../sandbox/student";
import type { SetExercise } from "./assignments";
import type { HandedIn } from "./handed-in";
import { markExercises } from "./mark";
import type { MarkedNotebook } from "./marks";
import { ownCells, reasonsIn } from "./notebook";
import type { HiddenRooms } from "./rooms";

export async function markEach(
  handedIn: readonly HandedIn[],
  by: {
    readonly sandbox: Sandbox;
    readonly exercises: readonly SetExercise[];
    readonly rooms: ReadonlyMap<string, HiddenRooms>;
    readonly atOnce: number;
    /** Seconds for each call of a function. */
    readonly patience?: number;
  },
): Promise<[student: string, marked: MarkedNotebook][]> {
  const marked = new Map<string, MarkedNotebook>();
  const waiting = [...handedIn];
  const worker = async () => {
    for (let next = waiting.shift(); next; next = waiting.shift())
      marked.set(
        next.student,
        await markOne(next, by).catch((error) => nothing(by.exercises, `could not be marked: ${error}`)),
      );
  };
  await Promise.all(Array.from({ length: by.atOnce }, worker));
  return handedIn.map(({ student }) => [student, marked.get(student) as MarkedNotebook]);
}

async function markOne(
  { file }: HandedIn,
  { sandbox, exercises, rooms, patience }: Parameters<typeof markEach>[1],
): Promise<MarkedNotebook> {
  let cells: readonly string[];
  let written: string;
  try {
    if (!lstatSync(file).isFile()) throw new Error("is not a file");
    cells = ownCells(file);
    written = reasonsIn(file);
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    return nothing(exercises, `the notebook ${code === "ENOENT" ? "is not there" : message}`);
  }
  const student = await openStudent(sandbox, cells, patience);
  try {
    const marked = await markExercises(student, cells, exercises, rooms);
    return { exercises: marked, written, remarks: student.problems };
  } finally {
    student.end();
  }
}

const nothing = (exercises: readonly SetExercise[], remark: string): MarkedNotebook => ({
  exercises: exercises.map(({ id, points }) => ({ id, points: 0, most: points, blind: 0, tried: [] })),
  written: "",
  remarks: [remark],
});
