/** A study's result and its three pages, as files. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { makeFolder, writeWhole } from "../../files/write";
import { type StudyResult, studyResult } from "../../study/result";
import type { Study } from "../../study/study";
import { courseRoot } from "../examples/course-root";
import { clientPage } from "./client";
import { mixEngineerPage } from "./mix-engineer";
import { pageHtml } from "./page";
import { technicianPage } from "./technician";

/** The pages by the names of their files. */
export const reportPages = {
  "report.html": technicianPage,
  "mix-engineer.html": mixEngineerPage,
  "client.html": clientPage,
};

/**
 * Writes the result of a study and its pages for technician, mix engineer and client, as `result.json`, report.html,
 * mix-engineer.html and client.html; files of these names are replaced.
 *
 * @param study  from `studies.run`
 * @param folder  where to; made where it is not there. A relative one starts from where the notebook lies
 * @returns absolute paths of what was written, the result first
 * @throws RangeError when the system refuses a file or the folder
 * @source own way, no outside source; the result as JSON: RFC 8259; check: tests/study/study.test.ts
 * @example
 * const reportOn = (folder: string) => write.reports(studies.run(read.show(folder)), `${folder}/report`);
 */
export function writeReports(study: Study, folder: string): string[] {
  return writeResultAndReports(study, folder).files;
}

/** The same, for who needs the result too. */
export function writeResultAndReports(
  study: Study,
  folder: string,
): { readonly result: StudyResult; readonly files: string[] } {
  const { version } = JSON.parse(readFileSync(path.join(courseRoot(), "package.json"), "utf8"));
  const result: StudyResult = studyResult(study, {
    at: new Date().toISOString(),
    versions: { evenground: version, node: process.version },
  });
  const runtime = readFileSync(path.join(courseRoot(), "dist", "assets", "runtime.js"), "utf8");
  const into = path.resolve(folder);
  makeFolder(into);
  const write = (name: string, text: string) => {
    const file = path.join(into, name);
    writeWhole(file, text);
    return file;
  };
  // first, so that a page that can't be made loses nothing that was computed
  const numbers = write("result.json", `${JSON.stringify(result, null, 1)}\n`);
  const pages = Object.entries(reportPages).map(([name, page]) =>
    write(name, pageHtml(page(study, result), runtime)),
  );
  return { result, files: [numbers, ...pages] };
}
