/** `npm run book [-- --as-it-ran]`: runs every lesson, then makes a book of web pages in book/. It needs no Python. */
import { existsSync } from "node:fs";
import path from "node:path";
import { buildBook, makeRunnable } from "./book/build";
import { readBookOptions } from "./book/options";
import { courseResults, runCourse } from "./notebook/course";
import { tellRan } from "./notebook/tell";
import { inRoot } from "./setup/places.mjs";
import { runCommand, SetupError } from "./setup/setup-error.mjs";

runCommand(async () => {
  const options = readBookOptions(process.argv.slice(2));
  if (!options) return 0;
  const { asItRan } = options;
  if (asItRan && !existsSync(courseResults))
    throw new SetupError("No lesson has run yet: npm run course comes first.");
  if (!asItRan) console.log("Running the lessons:");
  const all = asItRan ? [] : await runCourse(tellRan);
  const book = inRoot("book");
  const count = buildBook(courseResults, book);
  await makeRunnable(book);
  console.log(
    `\nThe book of ${count} lessons is ready; open this file in a browser:\n\n  ${path.join(book, "index.html")}`,
  );
  const failed = all.filter(({ failure }) => failure);
  if (failed.length)
    console.error(`\n${failed.length} of its lessons end early, at a cell that failed (see above).`);
  return failed.length ? 1 : 0;
});
