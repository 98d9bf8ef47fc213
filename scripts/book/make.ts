/** The lessons run, and a book that runs made of them. */
import { existsSync } from "node:fs";
import { courseResults, runCourse } from "../notebook/course";
import { tellRan } from "../notebook/tell";
import { SetupError } from "../setup/setup-error.mjs";
import { buildBook, makeRunnable } from "./build";

export interface MadeBook {
  readonly lessons: number;
  /** Lessons that end early. */
  readonly failed: number;
  /** Names of the kernel's parts. */
  readonly parts: readonly string[];
}

/**
 * @param folder  to write; what was there is replaced
 * @param asItRan  whether to take the lessons as they ran last
 */
export async function makeBook(folder: string, asItRan: boolean): Promise<MadeBook> {
  if (asItRan && !existsSync(courseResults))
    throw new SetupError("No lesson has run yet: npm run course comes first.");
  if (!asItRan) console.log("Running the lessons:");
  const all = asItRan ? [] : await runCourse(tellRan);
  const lessons = buildBook(courseResults, folder);
  const parts = await makeRunnable(folder);
  const failed = all.filter(({ failure }) => failure).length;
  if (failed) console.error(`\n${failed} of its lessons end early, at a cell that failed (see above).`);
  return { lessons, failed, parts };
}
