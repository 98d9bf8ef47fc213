// @ts-check
/** `npm run course`, or `npm run course -- part-of-a-name`: every lesson in the real kernel, without a browser. */
import { readCourseOptions } from "./notebook/options.mjs";
import { ensureLibrary } from "./setup/library.mjs";
import { requireNode } from "./setup/node-version.mjs";
import { ensureNpmPackages } from "./setup/npm-packages.mjs";
import { runCommand, SetupError } from "./setup/setup-error.mjs";

runCommand(async () => {
  requireNode();
  const options = readCourseOptions(process.argv.slice(2));
  if (!options) return 0;
  await ensureNpmPackages({ forTests: false });
  await ensureLibrary();
  const { runCourse } = await import("./notebook/course.mjs");
  const { tellRan } = await import("./notebook/tell.mjs");
  const start = performance.now();
  const { only } = options;
  const all = await runCourse({ only, tell: tellRan });
  if (all.length === 0) throw new SetupError(`No notebook's name contains ${JSON.stringify(only ?? "")}.`);
  const failed = all.filter(({ failure }) => failure).length;
  const seconds = ((performance.now() - start) / 1000).toFixed(1);
  console.log(`${all.length} notebooks in ${seconds} s; with their outputs they lie in results/course/.`);
  console.log(`${all.length - failed} passed, ${failed} failed`);
  return failed ? 1 : 0;
});
