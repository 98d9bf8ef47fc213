// @ts-check
/** What a student waits for: the first figure of a lesson, and all lessons in a row. */
import { readFileSync } from "node:fs";
import { runCourse } from "../notebook/course.mjs";
import { executeNotebook } from "../notebook/execute.mjs";
import { kernelCommand } from "../setup/kernel.mjs";
import { inRoot } from "../setup/places.mjs";
import { notebooksIn } from "../work/lessons.mjs";
import { medianOf } from "./median.mjs";

const rounds = 5;

/** @returns {import("./rooms.mjs").Bench[]} */
export const startUpBenches = () => [
  { name: "first-figure", bench: firstFigure },
  { name: "course", bench: course },
];

/**
 * From the kernel's start to the first figure of the first lesson; beside it a notebook in Python that computes the same
 * kind of figure with numpy and plotly. In turns, so that both meet the same machine.
 *
 * @param {string} python
 */
async function firstFigure(python) {
  const [first] = notebooksIn(inRoot("notebooks"));
  if (!first) return [];
  const lesson = JSON.parse(readFileSync(inRoot("notebooks", first), "utf8"));
  const twin = pythonNotebook(readFileSync(inRoot("scripts", "bench", "first-figure.py"), "utf8"));
  const pythonCommand = [python, "-m", "ipykernel_launcher", "-f", "{connection_file}"];
  /** @type {number[]} */
  const ours = [];
  /** @type {number[]} */
  const theirs = [];
  for (let i = 0; i < rounds; i++) {
    ours.push(await timeToFigure(lesson, kernelCommand));
    theirs.push(await timeToFigure(twin, pythonCommand));
  }
  const [ours_s, peer_s] = [medianOf(ours), medianOf(theirs)];
  return [
    {
      name: "kernel start to first figure of the first lesson",
      ours_s,
      peer: "Python with numpy and plotly",
      peer_s,
      ratio: ours_s / peer_s,
    },
  ];
}

/**
 * @param {any} notebook
 * @param {readonly string[]} argv
 */
async function timeToFigure(notebook, argv) {
  const { firstOutputSeconds, failure } = await executeNotebook(notebook, {
    argv,
    folder: inRoot("notebooks"),
    untilFigure: true,
  });
  if (firstOutputSeconds === undefined)
    throw new Error(`no figure came: ${failure?.message ?? "no cell showed one"}`);
  return firstOutputSeconds;
}

/**
 * Cells of a Python file, each headed by a line `# %%`.
 *
 * @param {string} text
 */
const pythonNotebook = (text) => ({
  cells: text
    .split(/^# %%.*$/m)
    .slice(1)
    .map((source) => ({ cell_type: "code", metadata: {}, outputs: [], source: source.trim() })),
});

async function course() {
  const start = performance.now();
  const ran = await runCourse({ tell: () => {} });
  const failed = ran.filter(({ failure }) => failure);
  if (failed.length) throw new Error(`lessons failed: ${failed.map(({ notebook }) => notebook).join(", ")}`);
  const cells = ran.reduce((sum, one) => sum + one.cells, 0);
  return [
    {
      name: `all ${ran.length} lessons headless (${cells} cells)`,
      ours_s: (performance.now() - start) / 1000,
      peer: "",
      peer_s: null,
      ratio: null,
    },
  ];
}
