/** `npm run layouts -- VENUE [LIMITS]`: layouts of the subs that nothing tried beats, within limits. */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { setImmediate } from "node:timers/promises";
import { usualLimits } from "../lib/decision/layouts/limits";
import { layoutSearch } from "../lib/decision/layouts/search";
import type { LayoutSearchProgress, LayoutSearchResult } from "../lib/decision/layouts/search-result";
import { readVenue, seats } from "../lib/venue";
import { readLimits } from "./layouts/limits-file";
import { help, readCall } from "./layouts/options";
import { tableOf } from "./layouts/table";

/** Ends with a sentence: 2 for a wrong call, 1 for a venue or limits that can't be used. */
async function main(): Promise<number> {
  const call = readCall(process.argv.slice(2));
  if (typeof call === "string") {
    console.error(call);
    return call === help ? 0 : 2;
  }
  try {
    const venue = readVenue(read(call.venue), path.basename(call.venue));
    const limits = call.limits
      ? readLimits(read(call.limits), path.basename(call.limits), venue)
      : usualLimits(venue);
    const result = await search(
      layoutSearch(venue, limits, {
        positions: seats(venue, { count: call.seats }),
        candidates: call.candidates,
        seed: call.seed,
      }),
    );
    if (!result) {
      console.log("Stopped before any layout was tried: there is nothing to keep.");
      return 1;
    }
    const out = path.resolve(
      call.out ?? path.join("results", `${path.basename(call.venue, ".json")}-layouts.json`),
    );
    mkdirSync(path.dirname(out), { recursive: true });
    writeFileSync(out, `${JSON.stringify(result, null, 1)}\n`);
    console.log(`\n${tableOf(result)}\n\n${result.reasons.join("\n")}\n\nWritten to ${out}`);
    return 0;
  } catch (error) {
    if (!(error instanceof Error) || !/FileError$|^RangeError$/.test(error.name)) throw error;
    console.error(error.message);
    return 1;
  }
}

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
        const found = tried > 0 ? `, ${tried} tried, ${kept} that nothing beats` : "";
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

const doing = { mains: "field of the mains", positions: "field of every place", layouts: "layouts" };

function show(text: string, elapsed: number, last: boolean): void {
  const line = `  ${(elapsed / 1000).toFixed(1).padStart(5)} s  ${text}`;
  if (!process.stdout.isTTY) console.log(line);
  else process.stdout.write(`\r${line.padEnd(79)}${last ? "\n" : ""}`);
}

function read(file: string): string {
  try {
    return readFileSync(file, "utf8");
  } catch {
    throw new RangeError(`there is no file ${file}`);
  }
}

main().then((code) => {
  process.exitCode = code;
});
