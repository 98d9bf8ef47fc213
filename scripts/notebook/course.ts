/** Runs the course as a student meets it: in a work folder, each notebook in a fresh kernel. */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import path from "node:path";
import { remove } from "../setup/patient-files.cjs";
import { inRoot } from "../setup/places.mjs";
import { quickKernelCommand } from "../setup/snapshot.mjs";
import { linkModules } from "../work/folder.mjs";
import { handOut } from "../work/hand-out.mjs";
import { notebooksIn } from "../work/lessons.mjs";
import { executeNotebook, type Failure } from "./execute";

/** Where executed notebooks lie. */
export const courseResults = inRoot("results", "course");

export interface Ran {
  readonly notebook: string;
  readonly cells: number;
  readonly seconds: number;
  readonly failure?: Failure;
}

/**
 * @param only  notebooks whose name contains this
 * @returns in the order of the names
 */
export async function runCourse(tell: (ran: Ran) => void, only = ""): Promise<Ran[]> {
  remove(courseResults);
  handOut(inRoot("notebooks"), courseResults);
  linkModules(courseResults);
  const queue = notebooksIn(courseResults)
    .filter((name) => name.includes(only))
    .entries();
  const all: Ran[] = [];
  const worker = async () => {
    for (const [i, name] of queue) {
      all[i] = await runOne(name);
      tell(all[i]);
    }
  };
  await Promise.all(Array.from({ length: Math.min(2, availableParallelism()) }, worker));
  return all;
}

async function runOne(name: string): Promise<Ran> {
  const file = path.join(courseResults, name);
  const start = performance.now();
  const { notebook, failure } = await executeNotebook(JSON.parse(readFileSync(file, "utf8")), {
    argv: quickKernelCommand(),
    folder: path.dirname(file),
  });
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(file, `${JSON.stringify(notebook, null, 1)}\n`);
  const cells = notebook.cells.filter((cell) => cell.cell_type === "code").length;
  return { notebook: name, cells, seconds: (performance.now() - start) / 1000, failure };
}
