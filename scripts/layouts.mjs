// @ts-check
/** `npm run layouts -- VENUE [LIMITS]`: a search for layouts of the subs; Ctrl-C keeps the best so far. */
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
  // Ctrl-C reaches this process as well as the search: it must wait for the search to hand over what it has.
  process.on("SIGINT", () => {});
  return runTypeScript(inRoot("scripts", "layouts.ts"), process.argv.slice(2));
});
