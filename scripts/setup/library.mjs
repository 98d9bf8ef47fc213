// @ts-check
import { existsSync } from "node:fs";
import { inRoot } from "./places.mjs";
import { lastWords, run } from "./run.mjs";
import { SetupError } from "./setup-error.mjs";
import { step } from "./step.mjs";

/** Builds the library into dist/ where it is older than its source, and lets notebooks import it by name. */
export async function ensureLibrary() {
  const { isBuilt, linkLibrary } = await import("../build/state.mjs");
  if (!isBuilt()) {
    await step("the library", async () => {
      const { code, output } = await run(process.execPath, [inRoot("scripts", "build.mjs")]);
      if (code !== 0) throw new SetupError(`The library could not be built:\n  ${lastWords(output)}`);
    });
  }
  if (existsSync(inRoot("node_modules"))) linkLibrary(inRoot("node_modules"));
}
