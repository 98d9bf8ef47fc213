/** `npm run book [-- --as-it-ran]`: runs every lesson, then makes a book of web pages in book/. It needs no Python. */
import path from "node:path";
import { makeBook } from "./book/make";
import { readBookOptions } from "./book/options";
import { inRoot } from "./setup/places.mjs";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(async () => {
  const options = readBookOptions("npm run book", process.argv.slice(2));
  if (!options) return 0;
  const book = inRoot("book");
  const { lessons, failed } = await makeBook(book, options.asItRan);
  console.log(
    `\nThe book of ${lessons} lessons is ready; open this file in a browser:\n\n  ${path.join(book, "index.html")}`,
  );
  return failed ? 1 : 0;
});
