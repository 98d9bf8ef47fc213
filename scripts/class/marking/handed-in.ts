/** What was handed in, found in the teacher's folder. */
import { existsSync, lstatSync, readdirSync } from "node:fs";
import path from "node:path";
import { readPlainFile } from "../../../lib/files/read";
import { makeFolder, writeWhole } from "../../../lib/files/write";
import { SetupError } from "../../setup/setup-error.mjs";
import { type Assignment, assignments, type SetExercise } from "./assignments";
import { largest, ownCells } from "./notebook";

/** A notebook with its owner's name. */
export interface HandedIn {
  readonly student: string;
  readonly file: string;
}

/**
 * @param folder  the teacher's
 * @param student  only this one's
 * @throws SetupError when there is nothing to mark
 */
export function submissions(folder: string, assignment: string, student?: string): HandedIn[] {
  const submitted = path.join(folder, "submitted");
  const everybody = existsSync(submitted)
    ? readdirSync(submitted).filter((name) => !name.startsWith("."))
    : [];
  const found = everybody
    .filter((name) => student === undefined || name === student)
    .filter(
      (name) => isFolder(path.join(submitted, name)) && isFolder(path.join(submitted, name, assignment)),
    )
    .map((name) => ({ student: name, file: notebookIn(path.join(submitted, name, assignment), assignment) }));
  if (found.length > 0) return found;
  throw new SetupError(
    `${student ? `${student} has handed in nothing` : "Nobody has handed in anything"} for ${assignment}: notebooks are looked for as ${path.join(submitted, "STUDENT", assignment, `${assignment}.ipynb`)}.`,
  );
}

/**
 * Notebooks that were sent, each named after its student, laid where the others lie.
 *
 * @param sent  their folder; what is not a plain file in it is left alone
 * @param folder  the teacher's
 * @returns assignments of which there are some, and a line for each that was left out
 */
export function takeIn(sent: string, folder: string): { found: Assignment[]; refused: string[] } {
  const found = new Set<Assignment>();
  const refused: string[] = [];
  for (const name of readdirSync(sent).filter((one) => /^[^.].*\.ipynb$/.test(one))) {
    const file = path.join(sent, name);
    try {
      if (!lstatSync(file).isFile()) throw new SetupError(`${file} is not a plain file`);
      const { exercises } = trialOf(file);
      const assignment = assignments.find((one) => one.exercises === exercises) as Assignment;
      const student = name.replace(/\.ipynb$/, "");
      const place = path.join(folder, "submitted", student, assignment.name);
      makeFolder(place);
      writeWhole(path.join(place, `${assignment.name}.ipynb`), readPlainFile(file, largest));
      found.add(assignment);
    } catch (error) {
      refused.push((error as Error).message);
    }
  }
  if (found.size === 0)
    throw new SetupError(
      [`${sent} has no notebook of an assignment, named after its student: STUDENT.ipynb.`, ...refused].join(
        "\n  ",
      ),
    );
  return { found: [...found], refused };
}

/** One that was handed in by hand may have another name. */
function notebookIn(folder: string, assignment: string): string {
  const usual = `${assignment}.ipynb`;
  const there = readdirSync(folder).filter((name) => name.endsWith(".ipynb") && !name.startsWith("."));
  return path.join(folder, there.includes(usual) || there.length !== 1 ? usual : there[0]);
}

const isFolder = (place: string): boolean =>
  lstatSync(place, { throwIfNoEntry: false })?.isDirectory() === true;

/**
 * One notebook alone, with the exercises whose functions it has.
 *
 * @throws SetupError when it has none
 */
export function trialOf(file: string): {
  readonly handedIn: HandedIn;
  readonly exercises: readonly SetExercise[];
} {
  let text: string;
  try {
    text = ownCells(file).join("\n");
  } catch (error) {
    throw new SetupError(`${file} ${(error as Error).message}`);
  }
  const own = assignments.find(({ exercises }) =>
    exercises.some(({ name }) => new RegExp(`\\b${name}\\b`).test(text)),
  );
  if (!own)
    throw new SetupError(
      `${file} has no function of an assignment, such as ${assignments[0].exercises[0].name}.`,
    );
  return { handedIn: { student: "this notebook", file }, exercises: own.exercises };
}
