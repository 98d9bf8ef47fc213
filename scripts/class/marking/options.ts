import { existsSync, statSync } from "node:fs";
import path from "node:path";
import { nearest, readOptions } from "../../setup/options.mjs";
import { fromUser, inRoot } from "../../setup/places.mjs";
import { SetupError } from "../../setup/setup-error.mjs";
import { type Assignment, assignments } from "./assignments";

/** The commands: what follows each, and what it does. */
const commands = {
  release: ["ASSIGNMENT", "makes the students' copy, without solutions, and puts it into the exchange"],
  collect: ["ASSIGNMENT", "fetches from the exchange what was handed in"],
  mark: [
    "ASSIGNMENT",
    "tries everyone's functions in rooms nobody has seen; with STUDENT only theirs, again; or a FOLDER of notebooks that were sent, each named after its student",
  ],
  feedback: [
    "ASSIGNMENT",
    "a page for each student, and into the exchange, where Fetch Feedback finds it; who is marked afterwards gets other rooms",
  ],
  marks: ["", "everybody's points as marks.csv"],
  key: ["ASSIGNMENT", "the answer key: a way that passes, and the best answer of each room"],
  misconceptions: ["", "how often each mistake led to an answer, by exercise, as misconceptions.csv"],
  validate: ["NOTEBOOK", "what one copy is worth, in rooms drawn for it"],
  look: ["", "everybody's points as a page, marks.html"],
} as const;

const names = assignments.map(({ name }) => name);

export interface GradeOptions {
  readonly command: keyof typeof commands;
  /** The instructor's folder. */
  readonly folder: string;
  readonly exchange: string;
  /** Given where the command wants one. */
  readonly assignment: Assignment;
  /** Given where the command wants one. */
  readonly notebook: string;
  /** Notebooks that were sent, to be marked instead of an assignment's. */
  readonly sent?: string;
  /** Who alone is to be marked. */
  readonly student: string | undefined;
  /** Whether everybody works under one account, as with `npm run class -- --one-account`. */
  readonly oneAccount: boolean;
}

/** What `npm run grade` takes; nothing where only help was wanted. */
export function readGradeOptions(args: readonly string[]): GradeOptions | undefined {
  const read = readOptions(args.length ? args : ["--help"], {
    call: "npm run grade",
    words: [
      {
        name: "COMMAND",
        needed: true,
        says: Object.entries(commands)
          .map(([name, [what, says]]) => `${`${name} ${what}`.padEnd(19)}  ${says}`)
          .join("\n"),
      },
      { name: "ASSIGNMENT", says: names.join(", ") },
      { name: "STUDENT", says: "to mark one alone" },
    ],
    options: {
      folder: { value: "FOLDER", says: "where the instructor's files lie (default grading/)", place: "any" },
      exchange: {
        value: "FOLDER",
        says: "how notebooks go to and fro (default class/exchange where there is one, else in the folder)",
        place: "any",
      },
      "one-account": {
        says: "everybody has the same account, so the owner of what is handed in tells nothing",
      },
    },
  });
  if (!read) return undefined;
  const [command, what, student] = read.words;
  if (!isCommand(command)) {
    const near = nearest(command, Object.keys(commands));
    throw new SetupError(
      `There is no "${command}".${near ? ` Did you mean ${near}?` : ""} What there is: npm run grade -- --help`,
    );
  }
  const [wanted] = commands[command];
  if (what !== undefined && !wanted) throw new SetupError(`${JSON.stringify(what)} is one word too many.`);
  if (student !== undefined && command !== "mark")
    throw new SetupError(`${JSON.stringify(student)} is one word too many.`);
  const assignment = assignments.find(({ name }) => name === what);
  const sent =
    command === "mark" && what && !assignment && isFolder(fromUser(what)) ? fromUser(what) : undefined;
  if (wanted === "ASSIGNMENT" && !assignment && !sent) {
    const problem = what ? `There is no assignment "${what}"` : "Which assignment?";
    throw new SetupError(`${problem}, expected one of ${names.join(", ")}.`);
  }
  const notebook = wanted === "NOTEBOOK" && what ? fromUser(what) : "";
  if (wanted === "NOTEBOOK" && !existsSync(notebook))
    throw new SetupError(`${what ?? "No notebook"} is not there: give the path of a notebook.`);
  const { folder = inRoot("grading"), exchange } = read.values;
  const ofClass = inRoot("class", "exchange");
  const usual = existsSync(ofClass) && !read.values.folder ? ofClass : path.join(folder, "exchange");
  return {
    command,
    folder,
    exchange: exchange ?? usual,
    assignment: assignment as Assignment,
    notebook,
    sent,
    student,
    oneAccount: read.values.oneAccount === true,
  };
}

const isFolder = (place: string) => statSync(place, { throwIfNoEntry: false })?.isDirectory() === true;

const isCommand = (word: string): word is keyof typeof commands => Object.hasOwn(commands, word);
