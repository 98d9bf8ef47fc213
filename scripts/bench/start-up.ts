/** What a student waits for: the first figure of a lesson, and all lessons in a row. */
import { readFileSync } from "node:fs";
import { runCourse } from "../notebook/course";
import { executeNotebook } from "../notebook/execute";
import type { Notebook } from "../notebook/format";
import { kernelCommand } from "../setup/kernel.mjs";
import { inRoot } from "../setup/places.mjs";
import { ensureSnapshot, quickKernelCommand } from "../setup/snapshot.mjs";
import { notebooksIn } from "../work/lessons.mjs";
import { alone, beside, medians, type Row } from "./rows";

/**
 * From the kernel's start to the first figure of the first lesson; beside it a notebook in Python that computes the same
 * kind of figure with numpy and plotly. In turns, so that both meet the same machine.
 *
 * @param python  interpreter with numpy, plotly and Jupyter's kernel
 */
export async function firstFigure(python: string): Promise<Row[]> {
  const [first] = notebooksIn(inRoot("notebooks"));
  const lesson = JSON.parse(readFileSync(inRoot("notebooks", first), "utf8"));
  const twin = pythonNotebook(readFileSync(inRoot("scripts", "bench", "first-figure.py"), "utf8"));
  const pythonCommand = [python, "-m", "ipykernel_launcher", "-f", "{connection_file}"];
  await ensureSnapshot();
  const ways = [
    () => timeToFigure(lesson, quickKernelCommand()),
    () => timeToFigure(lesson, kernelCommand),
    () => timeToFigure(twin, pythonCommand),
  ];
  const [quick, ordinary, theirs] = await medians(ways, 5);
  const name = "kernel start to first figure of the first lesson";
  const peer = "Python with numpy and plotly";
  return [beside(name, quick, peer, theirs), beside(`${name}, no snapshot`, ordinary, peer, theirs)];
}

async function timeToFigure(notebook: Notebook, argv: readonly string[]) {
  const { firstOutputSeconds, failure } = await executeNotebook(notebook, {
    argv,
    folder: inRoot("notebooks"),
    untilFigure: true,
  });
  if (firstOutputSeconds === undefined)
    throw new Error(`no figure came: ${failure?.message ?? "no cell showed one"}`);
  return firstOutputSeconds;
}

/** Cells of a Python file, each headed by a line `# %%`. */
const pythonNotebook = (text: string): Notebook => ({
  cells: text
    .split(/^# %%.*$/m)
    .slice(1)
    .map((source) => ({ cell_type: "code", outputs: [], source: source.trim() })),
});

/** All lessons in a row. */
export async function course(): Promise<Row[]> {
  const start = performance.now();
  const ran = await runCourse(() => {});
  const failed = ran.filter(({ failure }) => failure);
  if (failed.length) throw new Error(`lessons failed: ${failed.map(({ notebook }) => notebook).join(", ")}`);
  const cells = ran.reduce((sum, one) => sum + one.cells, 0);
  const seconds = (performance.now() - start) / 1000;
  return [alone(`all ${ran.length} lessons headless (${cells} cells)`, seconds)];
}
