/** `npm run grade -- COMMAND`: exercises for a class, released, collected and marked. */
import { randomBytes } from "node:crypto";
import { mkdirSync } from "node:fs";
import { availableParallelism, homedir } from "node:os";
import path from "node:path";
import { makeFolder, writeWhole } from "../../lib/files/write";
import { runCommand } from "../setup/setup-error.mjs";
import { type Assignment, assignments } from "./marking/assignments";
import { collect, hasExchange, release, requireExchange } from "./marking/exchange";
import { submissions, takeIn, trialOf } from "./marking/handed-in";
import { answerKey } from "./marking/key";
import { markEach } from "./marking/mark-each";
import {
  countMisconceptions,
  keepMarks,
  markedAssignments,
  marksCsv,
  misconceptionsCsv,
  mostOf,
  pointsOf,
  readMarks,
} from "./marking/marks";
import { studentNotebook } from "./marking/notebook";
import { type GradeOptions, readGradeOptions } from "./marking/options";
import { feedbackPage, overviewPage } from "./marking/pages";
import { drawRooms } from "./marking/rooms";
import { openToOthers } from "./marking/windows";
import { strongestSandbox } from "./sandbox/sandbox";

runCommand(
  async () => {
    const options = readGradeOptions(process.argv.slice(2));
    if (!options) return 0;
    mkdirSync(options.folder, { recursive: true, mode: 0o700 });
    const warning = openToOthers(options.folder, homedir());
    if (warning) console.log(warning);
    return (await commands[options.command](options)) ?? 0;
  },
  ({ name }) => name === "RangeError",
);

const commands: {
  readonly [command in GradeOptions["command"]]: (
    options: GradeOptions,
  ) => Promise<number | undefined> | number | undefined;
} = {
  release({ assignment, folder, exchange }) {
    const { name } = assignment;
    const notebook = `${JSON.stringify(studentNotebook(assignment), null, 1)}\n`;
    const copy = path.join(folder, "release", name, `${name}.ipynb`);
    write(copy, notebook);
    if (!hasExchange())
      console.log(`${copy} is ready to be handed out, by yourself: there is no exchange on Windows.`);
    else {
      release(exchange, name, notebook);
      console.log(`${name} is in ${exchange}; the same copy lies in ${path.dirname(copy)}.`);
    }
    return undefined;
  },
  collect({ assignment: { name }, folder, exchange, oneAccount }) {
    const submitted = path.join(folder, "submitted");
    requireExchange(submitted);
    const own = oneAccount ? () => process.getuid?.() : undefined;
    const { students, refused } = collect(exchange, name, submitted, own);
    console.log(
      `${students.length} notebooks lie in ${submitted}${students.length ? `: ${students.join(", ")}` : ""}.`,
    );
    if (oneAccount) console.log("Everybody has one account, so nobody can tell who handed in what.");
    for (const line of refused) console.log(`  left where it is: ${line}`);
    return refused.length ? 1 : 0;
  },
  async mark({ assignment, folder, sent, student }) {
    if (sent) {
      const { found, refused } = takeIn(sent, folder);
      for (const line of refused) console.log(`  left out: ${line}`);
      for (const each of found) await commands.mark({ assignment: each, folder } as GradeOptions);
      return refused.length ? 1 : 0;
    }
    const { name, title, exercises } = assignment;
    const before = readMarks(folder, name);
    // One student is marked again as the others were; a class each time in new rooms.
    const key = student && before ? before.key : randomBytes(32).toString("hex");
    const handedIn = submissions(folder, name, student);
    const sandbox = strongestSandbox();
    console.log(`Students' functions run with ${sandbox.says}.`);
    const rooms = new Map(exercises.map((one) => [one.id, drawRooms(one, Buffer.from(key, "hex"))]));
    const marked = await markEach(handedIn, {
      sandbox,
      exercises,
      rooms,
      atOnce: Math.min(4, availableParallelism()),
    });
    const students = { ...(student ? before?.students : {}), ...Object.fromEntries(marked) };
    keepMarks(folder, name, { key, students });
    for (const [who, notebook] of marked) {
      const failed = notebook.exercises.length === 0 ? `: ${notebook.remarks.join("; ")}` : "";
      console.log(`  ${who}  ${pointsOf(notebook)} of ${mostOf(notebook)}${failed}`);
      write(path.join(folder, "feedback", who, `${name}.html`), feedbackPage(title, who, notebook));
    }
    console.log(`Marked; feedback for each student lies in ${path.join(folder, "feedback")}.`);
    commands.look({ folder } as GradeOptions);
    return commands.marks({ folder } as GradeOptions);
  },
  marks({ folder }) {
    const file = path.join(folder, "marks.csv");
    write(file, `${marksCsv(folder)}\n`);
    console.log(`Marks: ${file}`);
    return undefined;
  },
  key({ assignment, folder }) {
    const file = path.join(folder, "key", `${assignment.name}.md`);
    write(file, `${answerKey(assignment)}\n`);
    console.log(`Answer key: ${file}`);
    return undefined;
  },
  misconceptions({ folder }) {
    const marked = markedAssignments(folder).flatMap((name) => readMarks(folder, name) ?? []);
    const counted = countMisconceptions(marked);
    const file = path.join(folder, "misconceptions.csv");
    write(file, `${misconceptionsCsv(counted)}\n`);
    if (marked.length === 0) console.log("Nothing has been marked yet.");
    else console.table(counted);
    console.log(file);
    return undefined;
  },
  async validate({ notebook }) {
    const { handedIn, exercises } = trialOf(notebook);
    const sandbox = strongestSandbox();
    console.log(`Its functions run with ${sandbox.says}.`);
    const rooms = new Map(exercises.map((one) => [one.id, drawRooms(one, randomBytes(32))]));
    const [[, marked]] = await markEach([handedIn], { sandbox, exercises, rooms, atOnce: 1 });
    for (const one of marked.exercises) console.log(`  ${one.id}  ${one.points} of ${one.most}`);
    for (const remark of marked.remarks) console.log(`  note: ${remark}`);
    console.log(`${pointsOf(marked)} of ${mostOf(marked)} points`);
    return undefined;
  },
  look({ folder }) {
    const marks = markedAssignments(folder).map((name) => ({
      title: assignments.find((one: Assignment) => one.name === name)?.title ?? name,
      students: readMarks(folder, name)?.students ?? {},
    }));
    const file = path.join(folder, "marks.html");
    write(file, overviewPage(marks));
    console.log(`Everybody's marks to look at: ${file}`);
    return undefined;
  },
};

function write(file: string, text: string): void {
  makeFolder(path.dirname(file));
  writeWhole(file, text);
}
