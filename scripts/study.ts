/** `npm run study -- SHOW [--out FOLDER] [--seats N] [--pdf]`: one show, from its folder to a result and its reports. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { parseArgs } from "node:util";
import { writeReports } from "../lib/lesson/report";
import { readShow, runStudy, type StudyResult } from "../lib/study";
import { findBrowser, printPage } from "./study/print";

const help = `npm run study -- SHOW [--out FOLDER] [--seats N] [--pdf]

  SHOW           a show file, or a folder with show.json in it
                 (try data/shows/harbour-theatre)
  --out FOLDER   where the result and the report go (default results/NAME OF THE SHOW'S FOLDER)
  --seats N      about how many seats the model computes (default 2000)
  --pdf          prints the reports as PDF too; needs a browser of the Chromium family
                 (EVENGROUND_BROWSER names one that is not found)`;

/** Ends with a sentence: 2 for a wrong call, 1 for a show that can't be studied. */
function main(): number {
  const call = readCall();
  if (typeof call === "string") {
    console.error(call);
    return call === help ? 0 : 2;
  }
  const started = performance.now();
  const progress = (step: string) =>
    console.log(`  ${((performance.now() - started) / 1000).toFixed(1).padStart(5)} s  ${step}`);
  try {
    const show = readShow(call.show);
    console.log(`${show.file.name}, ${show.venue.name}`);
    const study = runStudy(show, { seatCount: call.seats, progress });
    const out = path.resolve(call.out ?? path.join("results", path.basename(show.folder)));
    progress("reports");
    const [numbers, ...pages] = writeReports(study, out);
    if (call.pdf) print(pages, progress);
    const result: StudyResult = JSON.parse(readFileSync(numbers, "utf8"));
    for (const warning of result.warnings) console.log(`  note: ${warning}`);
    for (const problem of result.problems) console.log(`  problem: ${problem}`);
    const decided = result.measured ?? result.model;
    console.log(
      `\n${decided.offset.reasons.slice(0, 3).join("\n")}\n\nWritten to ${out}: ${[numbers, ...pages].map((file) => path.basename(file)).join(", ")}`,
    );
    return result.problems.length ? 1 : 0;
  } catch (error) {
    if (!(error instanceof Error) || !/FileError$|^RangeError$/.test(error.name)) throw error;
    console.error(error.message);
    return 1;
  }
}

function print(reports: readonly string[], progress: (step: string) => void): void {
  const browser = findBrowser();
  if (!browser) {
    console.log("  note: no browser was found that prints: open the reports and print them from there");
    return;
  }
  for (const report of reports) {
    progress(`${path.basename(report)} as PDF`);
    printPage(browser, report);
  }
}

function readCall(): { show: string; out?: string; seats: number; pdf: boolean } | string {
  try {
    const { values, positionals } = parseArgs({
      allowPositionals: true,
      options: {
        out: { type: "string" },
        seats: { type: "string" },
        pdf: { type: "boolean" },
        help: { type: "boolean", short: "h" },
      },
    });
    if (values.help) return help;
    if (positionals.length !== 1) return `expected one show file, got ${positionals.length}\n\n${help}`;
    const seats = Number(values.seats ?? 2000);
    if (!(Number.isInteger(seats) && seats >= 10 && seats <= 20000)) {
      return `--seats is ${values.seats}, expected a whole number from 10 to 20000`;
    }
    return {
      show: positionals[0],
      seats,
      pdf: values.pdf === true,
      ...(values.out !== undefined && { out: values.out }),
    };
  } catch (error) {
    return `${(error as Error).message}\n\n${help}`;
  }
}

process.exitCode = main();
