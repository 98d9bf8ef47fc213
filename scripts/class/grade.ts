/** `npm run grade -- COMMAND`: exercises for a class, released, collected and marked. */
import { randomBytes } from "node:crypto";
import { mkdirSync } from "node:fs";
import { availableParallelism, homedir, userInfo } from "node:os";
import path from "node:path";
import { makeFolder, writeWhole } from "../../lib/files/write";
import { runCommand, SetupError } from "../setup/setup-error.mjs";
import { type Assignment, assignments, type SetExercise } from "./marking/assignments";
import { collect, hasExchange, release, releaseFeedback, requireExchange } from "./marking/exchange";
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
  reasonsOf,
} from "./marking/marks";
import { studentNotebook } from "./marking/notebook";
import { type GradeOptions, readGradeOptions } from "./marking/options";
import { feedbackPage, overviewPage, readingPage } from "./marking/pages";
import { keepReading, readingFile, readReading } from "./marking/reading";
import { closeRooms, keyOf } from "./marking/room-key";
import { drawRooms, type HiddenRooms, ROOMS } from "./marking/rooms";
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
    closeRooms(folder, name); // each release has rooms of its own
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
    const own = oneAccount ? ownerOf : undefined;
    const { students, refused } = collect(exchange, name, submitted, own);
    console.log(
      `${students.length} notebooks lie in ${submitted}${students.length ? `: ${students.join(", ")}` : ""}.`,
    );
    if (oneAccount)
      console.log(
        "Everybody has one account: the names are those of the log-in, and nothing keeps one student from using another's.",
      );
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
    const handedIn = submissions(folder, name, student);
    const sandbox = strongestSandbox();
    console.log(`Students' functions run with ${sandbox.says}.`);
    const rooms = drawAll(exercises, keyOf(folder, name));
    const marked = await markEach(handedIn, {
      sandbox,
      exercises,
      rooms,
      atOnce: Math.min(4, availableParallelism()),
    });
    const students = { ...(student ? before?.students : {}), ...Object.fromEntries(marked) };
    keepMarks(folder, name, { students });
    const written = new Map(Object.entries(students).map(([who, { written }]) => [who, written]));
    keepReading(folder, name, written);
    const table = readingFile(folder, name, "csv");
    write(readingFile(folder, name, "html"), readingPage(title, written, table));
    for (const [who, notebook] of marked) {
      const failed = notebook.exercises.length === 0 ? `: ${notebook.remarks.join("; ")}` : "";
      console.log(`  ${who}  ${pointsOf(notebook)} of ${mostOf(notebook)}${failed}`);
    }
    console.log(
      `Marked. To be read by you: ${readingFile(folder, name, "html")}, with points in ${table}.\nThen: npm run grade -- feedback ${name}`,
    );
    commands.look({ folder } as GradeOptions);
    return commands.marks({ folder } as GradeOptions);
  },
  feedback({ assignment: { name, title }, folder, exchange }) {
    const marks = readMarks(folder, name);
    if (!marks) throw new SetupError(`${name} has not been marked yet: npm run grade -- mark ${name}`);
    const read = readReading(folder, name);
    const unread = Object.entries(marks.students).flatMap(([who, marked]) =>
      reasonsOf(marked, read.get(who)) === null ? [who] : [],
    );
    let fetched = 0;
    for (const [who, notebook] of Object.entries(marks.students)) {
      const html = feedbackPage(title, who, notebook, read.get(who));
      write(path.join(folder, "feedback", who, `${name}.html`), html);
      if (hasExchange() && releaseFeedback(exchange, name, path.join(folder, "submitted", who, name), html))
        fetched++;
    }
    // Its rooms' best answers are known from now on.
    closeRooms(folder, name);
    console.log(`A page for each student lies in ${path.join(folder, "feedback")}.`);
    if (hasExchange()) console.log(`${fetched} of them are where Fetch Feedback finds them.`);
    if (unread.length) console.log(`In their own words not read yet: ${unread.join(", ")}.`);
    return undefined;
  },
  marks({ folder }) {
    const file = path.join(folder, "marks.csv");
    write(file, `${marksCsv(folder)}\n`);
    console.log(`Marks: ${file}`);
    return undefined;
  },
  key({ assignment, folder }) {
    const file = path.join(folder, "key", `${assignment.name}.md`);
    write(file, `${answerKey(assignment, (how) => console.error(`  ${how}`))}\n`);
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
    const rooms = drawAll(exercises, randomBytes(32));
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
      read: readReading(folder, name),
    }));
    const file = path.join(folder, "marks.html");
    write(file, overviewPage(marks));
    console.log(`Everybody's marks to look at: ${file}`);
    return undefined;
  },
};

/**
 * The account that serves all.
 *
 * @throws Error where a notebook bears its name instead of a student's
 */
function ownerOf(student: string): number | undefined {
  if (student === userInfo().username)
    throw new Error(
      "it bears the name of the account, which is everybody's, and not of a log-in: ask whose it is, and put it into submitted/ by hand",
    );
  return process.getuid?.();
}

/** Rooms of each exercise, and which are being drawn: that takes some seconds each. */
function drawAll(exercises: readonly SetExercise[], key: Uint8Array): Map<string, HiddenRooms> {
  return new Map(
    exercises.map((one) => {
      console.log(`  ${one.id}: drawing ${ROOMS} rooms …`);
      return [one.id, drawRooms(one, key)];
    }),
  );
}

function write(file: string, text: string): void {
  makeFolder(path.dirname(file));
  writeWhole(file, text);
}
