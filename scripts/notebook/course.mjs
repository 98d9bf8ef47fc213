// @ts-check
/** Runs the course as a student meets it: in a work folder, each notebook in a fresh kernel. */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import path from "node:path";
import { kernelCommand } from "../setup/kernel.mjs";
import { remove } from "../setup/patient-files.cjs";
import { inRoot } from "../setup/places.mjs";
import { linkModules } from "../work/folder.mjs";
import { handOut } from "../work/hand-out.mjs";
import { notebooksIn } from "../work/lessons.mjs";
import { executeNotebook } from "./execute.mjs";

/** Where executed notebooks lie. */
export const courseResults = inRoot("results", "course");

/**
 * @typedef {{ notebook: string, cells: number, seconds: number, failure?: import("./execute.mjs").Failure, firstOutputSeconds?: number }} Ran
 *
 * @param {{ only?: string, tell: (ran: Ran) => void }} options  `only`: notebooks whose name contains this
 * @returns {Promise<Ran[]>} in the order of the names
 */
export async function runCourse({ only = "", tell }) {
  remove(courseResults);
  handOut(inRoot("notebooks"), courseResults);
  linkModules(courseResults);
  const names = notebooksIn(courseResults).filter((name) => name.includes(only));
  const queue = names.entries();
  /** @type {Ran[]} */
  const all = [];
  const worker = async () => {
    for (const [i, name] of queue) {
      all[i] = await runOne(name);
      tell(all[i]);
    }
  };
  await Promise.all(Array.from({ length: Math.min(2, availableParallelism()) }, worker));
  return all;
}

/**
 * @param {string} name
 * @returns {Promise<Ran>}
 */
async function runOne(name) {
  const file = path.join(courseResults, name);
  const start = performance.now();
  const ran = await executeNotebook(JSON.parse(readFileSync(file, "utf8")), {
    argv: kernelCommand,
    folder: path.dirname(file),
  });
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(file, `${JSON.stringify(ran.notebook, null, 1)}\n`);
  return {
    notebook: name,
    cells: ran.notebook.cells.filter((/** @type {any} */ cell) => cell.cell_type === "code").length,
    seconds: (performance.now() - start) / 1000,
    failure: ran.failure,
    firstOutputSeconds: ran.firstOutputSeconds,
  };
}
