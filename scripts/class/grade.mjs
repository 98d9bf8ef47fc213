// @ts-check
/** `npm run grade -- COMMAND`: exercises for a class, released, collected and marked with nbgrader. */
import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { ensureLibrary } from "../setup/library.mjs";
import { requireNode } from "../setup/node-version.mjs";
import { ensureNpmPackages } from "../setup/npm-packages.mjs";
import { inRoot } from "../setup/places.mjs";
import { runCommand } from "../setup/setup-error.mjs";
import { linkModules } from "../work/folder.mjs";
import { countMisconceptions, misconceptionsCsv } from "./marking/misconceptions.mjs";
import { ensureNbgrader, nbgrader, nbgraderPages, writeSettings } from "./marking/nbgrader.mjs";
import { readGradeOptions } from "./marking/options.mjs";
import { secretOf } from "./marking/secret.mjs";
import { sourceNotebook } from "./marking/source.mjs";

runCommand(async () => {
  requireNode();
  const options = readGradeOptions(process.argv.slice(2));
  if (!options) return;
  const { command, folder } = options;
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  await ensureNpmPackages({ forTests: false });
  await ensureLibrary();
  linkModules(folder);
  await ensureNbgrader();
  writeSettings(options);
  await commands[command](options);
});

/** @type {{ [command: string]: (options: import("./marking/options.mjs").GradeOptions) => Promise<void> }} */
const commands = {
  async release({ assignment, folder, exchange }) {
    const set = /** @type {import("./marking/assignments.mjs").Assignment} */ (assignment);
    const source = path.join(folder, "source", set.name);
    mkdirSync(source, { recursive: true });
    const file = path.join(source, `${set.name}.ipynb`);
    const notebook = sourceNotebook(set, secretOf(folder, set, library()));
    writeFileSync(file, `${JSON.stringify(notebook, null, 1)}\n`);
    await nbgrader(folder, ["generate_assignment", set.name, "--create", "--force"]);
    await nbgrader(folder, ["release_assignment", set.name, "--force"]);
    console.log(
      `${set.name} is in ${exchange}; the same copy lies in ${path.join(folder, "release", set.name)}.`,
    );
  },
  async collect({ assignment, folder }) {
    const { name } = /** @type {import("./marking/assignments.mjs").Assignment} */ (assignment);
    await nbgrader(folder, ["collect", name, "--update"]);
    console.log(`What was handed in lies in ${path.join(folder, "submitted")}.`);
  },
  async mark({ assignment, folder }) {
    const { name } = /** @type {import("./marking/assignments.mjs").Assignment} */ (assignment);
    await nbgrader(folder, ["autograde", name, "--create", "--force"]);
    await nbgrader(folder, ["generate_feedback", name, "--force"]);
    console.log(`Marked; feedback for each student lies in ${path.join(folder, "feedback")}.`);
    await commands.marks(/** @type {any} */ ({ folder }));
  },
  async marks({ folder }) {
    const file = path.join(folder, "marks.csv");
    await nbgrader(folder, ["export", "--to", file]);
    console.log(`Marks: ${file}`);
  },
  async key({ assignment, folder }) {
    const { answerKey } = await import("./marking/key.mjs");
    const set = /** @type {import("./marking/assignments.mjs").Assignment} */ (assignment);
    mkdirSync(path.join(folder, "key"), { recursive: true });
    const file = path.join(folder, "key", `${set.name}.md`);
    writeFileSync(file, answerKey(set, secretOf(folder, set, library()), library()));
    console.log(`Answer key: ${file}`);
  },
  async misconceptions({ folder }) {
    const counted = countMisconceptions(path.join(folder, "autograded"));
    const file = path.join(folder, "misconceptions.csv");
    writeFileSync(file, `${misconceptionsCsv(counted)}\n`);
    if (!existsSync(path.join(folder, "autograded"))) console.log("Nothing has been marked yet.");
    else console.table(counted);
    console.log(file);
  },
  async validate({ notebook, folder }) {
    console.log(await nbgrader(folder, ["validate", /** @type {string} */ (notebook)]));
  },
  look: ({ folder }) => nbgraderPages(folder),
};

const library = () => createRequire(import.meta.url)(inRoot("dist"));
