// @ts-check
/**
 * `npm run book [-- --as-it-ran]`: runs every lesson, then makes a book of web pages in book/. It needs no Python.
 * With `--as-it-ran` it takes the lessons as `npm run course` left them.
 */
import { existsSync } from "node:fs";
import path from "node:path";
import { readBookOptions } from "./book/options.mjs";
import { ensureLibrary } from "./setup/library.mjs";
import { requireNode } from "./setup/node-version.mjs";
import { ensureNpmPackages } from "./setup/npm-packages.mjs";
import { inRoot } from "./setup/places.mjs";
import { runCommand, SetupError } from "./setup/setup-error.mjs";

runCommand(async () => {
  requireNode();
  const options = readBookOptions(process.argv.slice(2));
  if (!options) return 0;
  await ensureNpmPackages({ forTests: false });
  await ensureLibrary();
  const { courseResults, runCourse } = await import("./notebook/course.mjs");
  const { buildBook } = await import("./book/build.mjs");
  const { tellRan } = await import("./notebook/tell.mjs");
  const { asItRan } = options;
  if (asItRan && !existsSync(courseResults))
    throw new SetupError("No lesson has run yet: npm run course comes first.");
  if (!asItRan) console.log("Running the lessons:");
  const all = asItRan ? [] : await runCourse({ tell: tellRan });
  const book = inRoot("book");
  const count = buildBook(courseResults, book);
  console.log(
    `\nThe book of ${count} lessons is ready; open this file in a browser:\n\n  ${path.join(book, "index.html")}`,
  );
  const failed = all.filter(({ failure }) => failure);
  if (failed.length)
    console.error(`\n${failed.length} of its lessons end early, at a cell that failed (see above).`);
  return failed.length ? 1 : 0;
});
