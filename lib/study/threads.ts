/** The other threads of a study. */
import { existsSync } from "node:fs";
import { availableParallelism } from "node:os";
import path from "node:path";
import { type Transferable, Worker } from "node:worker_threads";
import type { ThreadWork } from "./study-thread";

/**
 * As many threads as the machine has cores; one where the library can't start others: in a browser, and in a kernel that began from a
 * snapshot, whose threads never come to life.
 */
export const threadsHere = (): number => (script() && !fromSnapshot() ? availableParallelism() : 1);

const fromSnapshot = (): boolean => process.execArgv.some((flag) => flag.startsWith("--snapshot-blob"));

/**
 * Starts a thread, which takes about a tenth of a second.
 *
 * @param ports  within the work, which are handed over with it
 */
export function startThread(work: ThreadWork, ports: readonly Transferable[] = []): Worker {
  // What is computed leaves many small objects, all short-lived: with room for them the collector comes seldom.
  const resourceLimits = { maxYoungGenerationSizeMb: YOUNG };
  const worker = new Worker(script() as string, {
    workerData: work,
    resourceLimits,
    transferList: [...ports],
  });
  // What a thread does not send is computed by whoever waits for it.
  worker.on("error", () => {});
  worker.unref();
  return worker;
}

/** Megabytes for objects of a thread that have just been made. */
const YOUNG = 96;

/** Their file beside the built library; undefined where there is none, as in a browser. */
function script(): string | undefined {
  const built = path.join(__dirname, "..", "..", "dist");
  const files = ["study-thread.js", "study-thread.cjs"].map((name) => path.join(__dirname, name));
  return [...files, path.join(built, "study-thread.js")].find((file) => existsSync(file));
}
