/** `npm run layouts -- VENUE [LIMITS]`: layouts of the subs that nothing tried beats, within limits. */
import path from "node:path";
import { setImmediate } from "node:timers/promises";
import { usualLimits } from "../lib/decision/layouts/limits";
import { layoutSearch } from "../lib/decision/layouts/search";
import type { LayoutSearchProgress, LayoutSearchResult } from "../lib/decision/layouts/search-result";
import { readPlainFile, textOf, UnreadableFile } from "../lib/files/read";
import { makeFolder, writeWhole } from "../lib/files/write";
import { readVenue } from "../lib/venue/file/read";
import { seats } from "../lib/venue/seats";
import { readLimits } from "./layouts/limits-file";
import { readLayoutsOptions } from "./layouts/options";
import { tableOf } from "./layouts/table";
import { isOfLibrary, runCommand } from "./setup/setup-error.mjs";

runCommand(async () => {
  const call = readLayoutsOptions(process.argv.slice(2));
  if (!call) return 0;
  const venue = readVenue(read(call.venue), path.basename(call.venue));
  const limits = call.limits
    ? readLimits(read(call.limits), path.basename(call.limits), venue)
    : usualLimits(venue);
  const { candidates, seed } = call;
  const positions = seats(venue, { count: call.seats });
  const result = await search(layoutSearch(venue, limits, { positions, candidates, seed }));
  if (!result) {
    console.log("Stopped before any layout was tried: there is nothing to keep.");
    return 1;
  }
  const name = `${path.basename(call.venue, ".json")}-layouts.json`;
  const out = path.resolve(call.out ?? path.join("results", name));
  makeFolder(path.dirname(out));
  writeWhole(out, `${JSON.stringify(result, null, 1)}\n`);
  console.log(`\n${tableOf(result)}\n\n${result.reasons.join("\n")}\n\nWritten to ${out}`);
  return 0;
}, isOfLibrary);

/** Drives the search and shows how far it is; null when it was stopped before anything was tried. */
async function search(
  steps: Generator<LayoutSearchProgress, LayoutSearchResult, void>,
): Promise<LayoutSearchResult | null> {
  const started = performance.now();
  let stopped = false;
  const stop = () => {
    stopped = true;
  };
  process.on("SIGINT", stop);
  let shown = Number.NEGATIVE_INFINITY;
  try {
    for (;;) {
      const next = steps.next();
      const now = performance.now();
      if (next.done) {
        show(`${doing.layouts}: all tried`, now - started, true);
        return next.value;
      }
      const { step, fraction, tried, kept, best } = next.value;
      if (now - shown > (process.stdout.isTTY ? 100 : 2000)) {
        const found = tried > 0 ? `, ${tried} tried, ${kept} on the Pareto front` : "";
        show(`${doing[step]}: ${Math.round(100 * fraction)} %${found}`, now - started, false);
        shown = now;
      }
      // Lets Ctrl-C in.
      await setImmediate();
      if (stopped) {
        show("stopped: the best so far is kept", now - started, true);
        return best();
      }
    }
  } finally {
    process.off("SIGINT", stop);
  }
}

const doing = { mains: "field of the mains", positions: "field of every position", layouts: "layouts" };

function show(text: string, elapsed: number, last: boolean): void {
  const line = `  ${(elapsed / 1000).toFixed(1).padStart(5)} s  ${text}`;
  if (!process.stdout.isTTY) console.log(line);
  else process.stdout.write(`\r${line.padEnd(79)}${last ? "\n" : ""}`);
}

function read(file: string): string {
  try {
    return textOf(readPlainFile(file, 5e6));
  } catch (error) {
    if (!(error instanceof UnreadableFile)) throw error;
    throw new RangeError(
      error.reason === "missing" ? `there is no file ${file}` : `${file} ${error.message}`,
    );
  }
}
