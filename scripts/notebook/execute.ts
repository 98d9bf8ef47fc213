/** Runs a notebook from top to bottom in a kernel of its own. */
import { setTimeout as pause } from "node:timers/promises";
import { addOutput } from "./add-output";
import { errorText } from "./error-text";
import { joined, type Notebook, type Output } from "./format";
import { startKernel } from "./kernel";

const patienceMs = 180_000;
/** After a failed cell the kernel drops what is asked of it for a moment. */
const pauseAfterErrorMs = 300;

/** The cell that ended a run; `cell` counts from 1, text cells included. */
export interface Failure {
  readonly cell: number;
  readonly code: string;
  readonly message: string;
}

/** A notebook with its outputs, as far as it came, and the time from the kernel's start to the first figure. */
export interface Executed {
  readonly notebook: Notebook;
  readonly failure?: Failure;
  readonly firstOutputSeconds?: number;
}

/**
 * @param argv  the kernel's command line
 * @param folder  where it runs
 * @param untilFigure  whether to stop after the cell that showed the first figure
 */
export async function executeNotebook(
  original: Notebook,
  { argv, folder, untilFigure = false }: { argv: readonly string[]; folder: string; untilFigure?: boolean },
): Promise<Executed> {
  const start = performance.now();
  const notebook = structuredClone(original);
  const cells = notebook.cells.filter((cell) => cell.cell_type === "code");
  for (const cell of cells) Object.assign(cell, { outputs: [], execution_count: null });
  const shown = new Map<string, Output>();
  let firstOutputSeconds: number | undefined;
  const kernel = await startKernel(argv, folder);
  try {
    for (const [i, cell] of cells.entries()) {
      cell.execution_count = i + 1;
      const code = joined(cell.source);
      const run = () =>
        withPatience(
          kernel.execute(code, (message) => {
            if (message.msg_type === "display_data")
              firstOutputSeconds ??= (performance.now() - start) / 1000;
            addOutput(cell.outputs, shown, message);
          }),
        );
      let status = await run();
      // The kernel drops what reaches it soon after a cell that failed; how soon depends on how busy the machine is.
      for (let tries = 0; status === "abort" && tries < 5; tries++) {
        await pause(pauseAfterErrorMs);
        status = await run();
      }
      const mayFail = cell.metadata?.tags?.includes("raises-exception") ?? false;
      if (status !== (mayFail ? "error" : "ok")) {
        const message =
          status === "ok"
            ? "it is marked as one that fails (raises-exception), but it did not"
            : (endings[status] ?? errorText(cell.outputs));
        const failure = { cell: notebook.cells.indexOf(cell) + 1, code, message };
        return { notebook, firstOutputSeconds, failure };
      }
      if (status === "error") await pause(pauseAfterErrorMs);
      if (untilFigure && firstOutputSeconds !== undefined) break;
    }
    return { notebook, firstOutputSeconds };
  } finally {
    await kernel.stop();
  }
}

const endings: { readonly [status: string]: string } = {
  dead: "the kernel ended while it ran",
  late: `it did not end within ${patienceMs / 1000} seconds`,
  abort: "the kernel dropped it",
};

async function withPatience(status: Promise<string>): Promise<string> {
  const over = new AbortController();
  const late = pause(patienceMs, "late", { signal: over.signal }).catch(() => "late");
  try {
    return await Promise.race([status, late]);
  } finally {
    over.abort();
  }
}
