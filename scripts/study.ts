/** `npm run study -- SHOW [--out FOLDER] [--seats N] [--pdf]`: one show, from its folder to a result and its reports. */
import path from "node:path";
import { writeResultAndReports } from "../lib/lesson/report/write";
import { fitnessWords } from "../lib/study/fitness";
import { readShow } from "../lib/study/read-show";
import { runStudy } from "../lib/study/study";
import { isOfLibrary, runCommand } from "./setup/setup-error.mjs";
import { headline, verified } from "./study/headline";
import { readStudyOptions } from "./study/options";
import { findBrowser, printPage } from "./study/print";

runCommand(() => {
  const call = readStudyOptions(process.argv.slice(2));
  if (!call) return 0;
  const started = performance.now();
  const progress = (step: string) =>
    console.log(`  ${((performance.now() - started) / 1000).toFixed(1).padStart(5)} s  ${step}`);
  const show = readShow(call.show);
  console.log(`${show.file.name}, ${show.venue.name}`);
  const study = runStudy(show, { seatCount: call.seats, progress });
  const out = path.resolve(call.out ?? path.join("results", path.basename(show.folder)));
  progress("reports");
  const { result, files } = writeResultAndReports(study, out);
  const printed = call.pdf ? print(files.slice(1), progress) : [];
  for (const warning of result.warnings) console.log(`  note: ${warning}`);
  for (const problem of result.problems) console.log(`  problem: ${problem}`);
  for (const warning of result.verification?.warnings ?? []) console.log(`  note, verification: ${warning}`);
  console.log(
    `\n${headline(result)}\n${fitnessWords(result.fitness)}\n${verified(result)}\nWritten to ${out}: ${[...files, ...printed].map((file) => path.basename(file)).join(", ")}`,
  );
  return result.problems.length ? 1 : 0;
}, isOfLibrary);

/** The reports as PDF, beside them; none where no browser prints. */
function print(reports: readonly string[], progress: (step: string) => void): string[] {
  const browser = findBrowser();
  if (!browser) {
    console.log("  note: no browser was found that prints: open the reports and print them from there");
    return [];
  }
  return reports.map((report) => {
    progress(`${path.basename(report)} as PDF`);
    return printPage(browser, report);
  });
}
