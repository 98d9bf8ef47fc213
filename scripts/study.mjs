// @ts-check
/** `npm run study -- SHOW-FILE`: one show run whole, to a result and a report. */
import { ensureLibrary } from "./setup/library.mjs";
import { requireNode } from "./setup/node-version.mjs";
import { ensureNpmPackages } from "./setup/npm-packages.mjs";
import { inRoot } from "./setup/places.mjs";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(async () => {
  requireNode();
  await ensureNpmPackages({ forTests: false });
  await ensureLibrary();
  const { runTypeScript } = await import("./setup/run-typescript.mjs");
  return runTypeScript(inRoot("scripts", "study.ts"), process.argv.slice(2));
});
