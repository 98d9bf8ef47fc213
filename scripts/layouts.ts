/** `npm run layouts -- VENUE [LIMITS]`: layouts of the subs that nothing tried beats, within limits. */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { setImmediate } from "node:timers/promises";
import { parseArgs } from "node:util";
import { usualLimits } from "../lib/decision/layout-limits";
import { layoutSearch } from "../lib/decision/search-layouts";
import type { LayoutSearchProgress, LayoutSearchResult } from "../lib/decision/search-layouts-result";
import { readVenue, seats } from "../lib/venue";
import { limitsExample, readLimits } from "./layouts/limits-file";
import { tableOf } from "./layouts/table";

const help = `npm run layouts -- VENUE [LIMITS] [--candidates N] [--seats N] [--seed N] [--out FILE]

  VENUE           a venue file (try data/venues/harbour-theatre.json)
  LIMITS          a JSON file that says what may be put up and where; left out, the subs may stand
                  anywhere across the room where the venue's own stand now, left and right alike
  --candidates N  how many layouts to try (default 10000)
  --seats N       about how many seats to judge them at (default 500)
  --seed N        the same seed finds the same layouts (default 1)
  --out FILE      where the result goes (default results/NAME OF THE VENUE FILE-layouts.json)

Ctrl-C ends the search and keeps the best so far.

A whole file of limits:
${limitsExample}`;

/** Ends with a sentence: 2 for a wrong call, 1 for a venue or limits that can't be used. */
async function main(): Promise<number> {
  const call = readCall();
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
      const { step, share, tried, kept, best } = next.value;
      if (now - shown > (process.stdout.isTTY ? 100 : 2000)) {
        const found = tried > 0 ? `, ${tried} tried, ${kept} that nothing beats` : "";
        show(`${doing[step]}: ${Math.round(100 * share)} %${found}`, now - started, false);
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

const doing = { mains: "field of the mains", places: "field of every place", layouts: "layouts" };

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

interface Call {
  readonly venue: string;
  readonly limits?: string;
  readonly candidates: number;
  readonly seats: number;
  readonly seed: number;
  readonly out?: string;
}

function readCall(): Call | string {
  try {
    const { values, positionals } = parseArgs({
      allowPositionals: true,
      options: {
        candidates: { type: "string", default: "10000" },
        seats: { type: "string", default: "500" },
        seed: { type: "string", default: "1" },
        out: { type: "string" },
        help: { type: "boolean", short: "h" },
      },
    });
    if (values.help) return help;
    if (positionals.length < 1 || positionals.length > 2) {
      return `expected a venue file and perhaps one of limits, got ${positionals.length} files\n\n${help}`;
    }
    const whole = (name: "candidates" | "seats" | "seed", from: number, to: number): number => {
      const value = Number(values[name]);
      if (!(Number.isInteger(value) && value >= from && value <= to)) {
        throw new Error(`--${name} is ${values[name]}, expected a whole number from ${from} to ${to}`);
      }
      return value;
    };
    return {
      venue: positionals[0],
      ...(positionals[1] !== undefined && { limits: positionals[1] }),
      candidates: whole("candidates", 1, 1e6),
      seats: whole("seats", 10, 5000),
      seed: whole("seed", 0, 2 ** 31 - 1),
      ...(values.out !== undefined && { out: values.out }),
    };
  } catch (error) {
    return `${(error as Error).message}\n\n${help}`;
  }
}

main().then((code) => {
  process.exitCode = code;
});
