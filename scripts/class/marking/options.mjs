// @ts-check
import { existsSync } from "node:fs";
import path from "node:path";
import { parseArgs } from "node:util";
import { inRoot } from "../../setup/places.mjs";
import { SetupError } from "../../setup/setup-error.mjs";
import { assignments } from "./assignments.mjs";

const names = assignments.map(({ name }) => name).join(", ");

export const help = `npm run grade -- COMMAND [ASSIGNMENT] [options]

  release ASSIGNMENT      makes the students' copy, without solutions, and puts it into the exchange
  collect ASSIGNMENT      fetches from the exchange what was handed in
  mark ASSIGNMENT         runs everyone's notebook with the checks as they were, gives points, writes feedback
  marks                   everybody's points as marks.csv
  key ASSIGNMENT          the answer key: a way that passes, and the best answer of each room
  misconceptions          how often each mistake led to an answer, by exercise, as misconceptions.csv
  validate NOTEBOOK       what a student's copy is worth by the checks that it holds (nbgrader's own validator)
  look                    nbgrader's pages, to look at what was handed in

  --folder FOLDER         where the instructor's files lie (default grading/)
  --exchange FOLDER       how notebooks go to and fro (default class/exchange where there is one, else in the folder)

Assignments: ${names}`;

/** Which commands want an assignment, a notebook, or nothing. */
const wants = {
  release: "assignment",
  collect: "assignment",
  mark: "assignment",
  key: "assignment",
  marks: "nothing",
  misconceptions: "nothing",
  look: "nothing",
  validate: "notebook",
};

/**
 * @typedef {{ command: keyof typeof wants, assignment?: import("./assignments.mjs").Assignment, notebook?: string,
 *   folder: string, exchange: string }} GradeOptions
 *
 * @param {string[]} args
 * @returns {GradeOptions | undefined} nothing where only help was wanted
 */
export function readGradeOptions(args) {
  /** @type {any} */
  let read;
  try {
    const options = /** @type {const} */ ({
      folder: { type: "string" },
      exchange: { type: "string" },
      help: { type: "boolean", short: "h" },
    });
    read = parseArgs({ args, options, allowPositionals: true });
  } catch (error) {
    throw new SetupError(`${/** @type {Error} */ (error).message}\n\n${help}`);
  }
  const { values, positionals } = read;
  if (values.help || positionals.length === 0) {
    console.log(help);
    return undefined;
  }
  const [command, what] = positionals;
  if (!Object.hasOwn(wants, command)) throw new SetupError(`There is no "${command}".\n\n${help}`);
  const most = wants[/** @type {keyof typeof wants} */ (command)] === "nothing" ? 1 : 2;
  if (positionals.length > most)
    throw new SetupError(`${JSON.stringify(positionals[most])} is one word too many.\n\n${help}`);
  const here = process.env.INIT_CWD ?? process.cwd();
  const folder = values.folder ? path.resolve(here, values.folder) : inRoot("grading");
  const ofClass = inRoot("class", "exchange");
  const exchange = values.exchange
    ? path.resolve(here, values.exchange)
    : existsSync(ofClass) && !values.folder
      ? ofClass
      : path.join(folder, "exchange");
  const wanted = wants[/** @type {keyof typeof wants} */ (command)];
  const assignment = assignments.find(({ name }) => name === what);
  if (wanted === "assignment" && !assignment)
    throw new SetupError(
      `${what ? `There is no assignment "${what}"` : "Which assignment?"}, expected one of ${names}.`,
    );
  const notebook = wanted === "notebook" && what ? path.resolve(here, what) : undefined;
  if (wanted === "notebook" && !(notebook && existsSync(notebook)))
    throw new SetupError(`${what ?? "No notebook"} is not there: give the path of a notebook.`);
  return { command: /** @type {any} */ (command), assignment, notebook, folder, exchange };
}
