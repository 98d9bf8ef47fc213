/** `npm run compare -- SHOW-A SHOW-B`: what changed from one measurement to another, and by how much more than their error. */

import path from "node:path";
import { makeFolder, writeWhole } from "../lib/files/write";
import { table } from "../lib/lesson/output/table";
import { pageHtml } from "../lib/lesson/report/page";
import { measureShow } from "../lib/study/measure";
import { readShow, type Show } from "../lib/study/read-show";
import type { Survey } from "../lib/survey/survey";
import { capital } from "../lib/text/capital";
import { changesBetween, inSentences, quantities } from "./compare/changes";
import { readCompareOptions } from "./compare/options";
import { fromUser } from "./setup/places.mjs";
import { isOfLibrary, runCommand, SetupError } from "./setup/setup-error.mjs";

runCommand(() => {
  const call = readCompareOptions(process.argv.slice(2));
  if (!call) return 0;
  const [a, b] = [readShow(fromUser(call.before)), readShow(fromUser(call.after))];
  const found = changesBetween(surveyOf(a), surveyOf(b));
  const sentences = inSentences(found);
  console.log(sentences.join("\n"));
  const out = fromUser(call.out);
  makeFolder(path.dirname(out));
  const titled = (show: Show) =>
    `${show.file.name}${show.file.measuredOn ? `, ${show.file.measuredOn}` : ""}`;
  const page = pageHtml({
    title: "Before and after",
    subtitle: `${titled(a)} (A); ${titled(b)} (B)`,
    inShort: sentences.slice(0, 3),
    sections: [
      { heading: "What changed by more than the error", parts: [{ list: sentences }] },
      ...quantities.map((quantity) => ({
        heading: capital(quantity),
        parts: [
          table(
            found.changes
              .filter((change) => change.quantity === quantity)
              .map(({ position, before_db, after_db, change_db, error_db, real }) => ({
                position,
                "A (dB)": before_db,
                "B (dB)": after_db,
                "change (dB)": change_db,
                "error of the change (dB)": error_db,
                "more than the error": real ? "yes" : "no",
              })),
          ),
        ],
      })),
    ],
    foot: [
      "Levels are relative to what was sent. The error is what noise and so short a measurement exceed once in twenty times; a microphone that stood elsewhere is not in it.",
    ],
  });
  writeWhole(out, page);
  console.log(`\nWritten to ${out}`);
  return 0;
}, isOfLibrary);

function surveyOf(show: Show): Survey {
  const { survey, problems } = measureShow(show);
  if (!survey) throw new SetupError(`${show.file.name} holds nothing to compare: ${problems.join("; ")}`);
  return survey;
}
