/** `npm run study -- SHOW [--out FOLDER] [--seats N] [--pdf]`: one show, from its folder to a result and its reports. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { writeReports } from "../lib/lesson/report";
import { readShow, runStudy, type StudyResult } from "../lib/study";
import { help, readCall } from "./study/options";
import { findBrowser, printPage } from "./study/print";

/** Ends with a sentence: 2 for a wrong call, 1 for a show that can't be studied. */
function main(): number {
  const call = readCall(process.argv.slice(2));
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

process.exitCode = main();
