/** `npm run course`, or `npm run course -- WORD`: every lesson in the real kernel, without a browser. */
import { runCourse } from "./notebook/course";
import { readCourseOptions } from "./notebook/options";
import { tellRan } from "./notebook/tell";
import { runCommand, SetupError } from "./setup/setup-error.mjs";
import { ensureSnapshot } from "./setup/snapshot.mjs";

runCommand(async () => {
  const options = readCourseOptions(process.argv.slice(2));
  if (!options) return 0;
  await ensureSnapshot();
  const start = performance.now();
  const { only } = options;
  const all = await runCourse(tellRan, only);
  if (all.length === 0) throw new SetupError(`No notebook's name contains ${JSON.stringify(only ?? "")}.`);
  const failed = all.filter(({ failure }) => failure).length;
  const seconds = ((performance.now() - start) / 1000).toFixed(1);
  console.log(`${all.length} notebooks in ${seconds} s; with their outputs they lie in results/course/.`);
  console.log(`${all.length - failed} passed, ${failed} failed`);
  return failed ? 1 : 0;
});
