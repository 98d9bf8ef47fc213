/** `npm run grade -- COMMAND`: exercises for a class, released, collected and marked with nbgrader. */
import { existsSync, mkdirSync } from "node:fs";
import { homedir } from "node:os";
import path from "node:path";
import { makeFolder, writeWhole } from "../../lib/files/write";
import { runCommand } from "../setup/setup-error.mjs";
import { linkModules } from "../work/folder.mjs";
import { answerKey } from "./marking/key";
import { countMisconceptions, misconceptionsCsv } from "./marking/misconceptions";
import { ensureNbgrader, nbgrader, nbgraderPages, writeSettings } from "./marking/nbgrader";
import { type GradeOptions, readGradeOptions } from "./marking/options";
import { secretOf } from "./marking/secret";
import { sourceNotebook } from "./marking/source";
import { hasExchange, openToOthers, requireExchange } from "./marking/windows";

runCommand(async () => {
  const options = readGradeOptions(process.argv.slice(2));
  if (!options) return;
  const { command, folder } = options;
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const warning = openToOthers(folder, homedir());
  if (warning) console.log(warning);
  linkModules(folder);
  await ensureNbgrader();
  writeSettings(options);
  await commands[command](options);
});

const commands: { readonly [command in GradeOptions["command"]]: (options: GradeOptions) => Promise<void> } =
  {
    async release({ assignment, folder, exchange }) {
      const { name } = assignment;
      const notebook = sourceNotebook(assignment, secretOf(folder, assignment));
      write(path.join(folder, "source", name, `${name}.ipynb`), JSON.stringify(notebook, null, 1));
      await nbgrader(folder, ["generate_assignment", name, "--create", "--force"]);
      const copy = path.join(folder, "release", name);
      if (!hasExchange()) {
        console.log(
          `${copy} is ready to be handed out, by yourself: nbgrader's exchange does not run on Windows.`,
        );
        return;
      }
      await nbgrader(folder, ["release_assignment", name, "--force"]);
      console.log(`${name} is in ${exchange}; the same copy lies in ${copy}.`);
    },
    async collect({ assignment: { name }, folder }) {
      requireExchange(path.join(folder, "submitted"));
      await nbgrader(folder, ["collect", name, "--update"]);
      console.log(`What was handed in lies in ${path.join(folder, "submitted")}.`);
    },
    async mark(options) {
      const { assignment, folder } = options;
      await nbgrader(folder, ["autograde", assignment.name, "--create", "--force"]);
      await nbgrader(folder, ["generate_feedback", assignment.name, "--force"]);
      console.log(`Marked; feedback for each student lies in ${path.join(folder, "feedback")}.`);
      await commands.marks(options);
    },
    async marks({ folder }) {
      const file = path.join(folder, "marks.csv");
      await nbgrader(folder, ["export", "--to", file]);
      console.log(`Marks: ${file}`);
    },
    async key({ assignment, folder }) {
      const file = path.join(folder, "key", `${assignment.name}.md`);
      write(file, answerKey(assignment, secretOf(folder, assignment)));
      console.log(`Answer key: ${file}`);
    },
    async misconceptions({ folder }) {
      const counted = countMisconceptions(path.join(folder, "autograded"));
      const file = path.join(folder, "misconceptions.csv");
      write(file, misconceptionsCsv(counted));
      if (!existsSync(path.join(folder, "autograded"))) console.log("Nothing has been marked yet.");
      else console.table(counted);
      console.log(file);
    },
    async validate({ notebook, folder }) {
      console.log(await nbgrader(folder, ["validate", notebook]));
    },
    look: ({ folder }) => nbgraderPages(folder),
  };

function write(file: string, text: string): void {
  makeFolder(path.dirname(file));
  writeWhole(file, `${text}\n`);
}
