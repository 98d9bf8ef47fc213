// @ts-check
/** Runs a notebook from top to bottom in a kernel of its own. */
import { startKernel } from "./kernel.mjs";
import { addOutput, errorText } from "./outputs.mjs";

const patienceMs = 180_000;
/** After a failed cell the kernel drops what is asked of it for a moment. */
const pauseAfterErrorMs = 300;

/**
 * @typedef {{ cell: number, code: string, message: string }} Failure  `cell` counts from 1, text cells included
 *
 * @param {any} notebook  a notebook of format 4
 * @param {{ argv: readonly string[], folder: string, onCell?: (done: number, of: number) => void, untilFigure?: boolean }} options
 *   `untilFigure`: stops after the cell that showed the first one
 * @returns {Promise<{ notebook: any, failure?: Failure, firstOutputSeconds?: number }>} the notebook with its outputs, as far as it came;
 *   the time from the kernel's start to the first figure
 */
export async function executeNotebook(notebook, { argv, folder, onCell, untilFigure = false }) {
  const start = performance.now();
  const result = structuredClone(notebook);
  const cells = result.cells.filter((/** @type {any} */ cell) => cell.cell_type === "code");
  for (const cell of cells) Object.assign(cell, { outputs: [], execution_count: null });
  /** @type {Map<string, any>} */
  const shown = new Map();
  /** @type {number | undefined} */
  let firstOutputSeconds;
  const kernel = await startKernel(argv, folder);
  try {
    let count = 0;
    for (const cell of cells) {
      cell.execution_count = ++count;
      const run = () =>
        withPatience(
          kernel.execute(textOf(cell), (message) => {
            if (message.msg_type === "display_data")
              firstOutputSeconds ??= (performance.now() - start) / 1000;
            addOutput(cell.outputs, shown, message);
          }),
        );
      let status = await run();
      // The kernel drops what reaches it soon after a cell that failed; how soon depends on how busy the machine is.
      for (let tries = 0; status === "abort" && tries < 5; tries++) {
        await new Promise((resolve) => setTimeout(resolve, pauseAfterErrorMs));
        status = await run();
      }
      const mayFail = cell.metadata?.tags?.includes("raises-exception");
      if (status !== "ok" && !(status === "error" && mayFail)) {
        const message = endings[status] ?? errorText(cell.outputs);
        return {
          notebook: result,
          firstOutputSeconds,
          failure: {
            cell: result.cells.indexOf(cell) + 1,
            code: textOf(cell),
            message,
          },
        };
      }
      if (status === "ok" && mayFail) {
        const message = "it is marked as one that fails (raises-exception), but it did not";
        return {
          notebook: result,
          firstOutputSeconds,
          failure: {
            cell: result.cells.indexOf(cell) + 1,
            code: textOf(cell),
            message,
          },
        };
      }
      if (status === "error") await new Promise((resolve) => setTimeout(resolve, pauseAfterErrorMs));
      onCell?.(count, cells.length);
      if (untilFigure && firstOutputSeconds !== undefined) break;
    }
    return { notebook: result, firstOutputSeconds };
  } finally {
    await kernel.stop();
  }
}

/** @type {Record<string, string>} */
const endings = {
  dead: "the kernel ended while it ran",
  late: `it did not end within ${patienceMs / 1000} seconds`,
  abort: "the kernel dropped it",
};

/**
 * @param {any} cell
 * @returns {string}
 */
const textOf = (cell) => (Array.isArray(cell.source) ? cell.source.join("") : cell.source);

/** @param {Promise<string>} status */
async function withPatience(status) {
  /** @type {NodeJS.Timeout | undefined} */
  let timer;
  const late = new Promise((resolve) => {
    timer = setTimeout(resolve, patienceMs, "late");
  });
  try {
    return /** @type {string} */ (await Promise.race([status, late]));
  } finally {
    clearTimeout(timer);
  }
}
