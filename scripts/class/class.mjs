// @ts-check
/** `npm run class`: the course for a whole class from one machine, by JupyterHub. */

import { ensureLibrary } from "../setup/library.mjs";
import { requireNode } from "../setup/node-version.mjs";
import { ensureNpmPackages } from "../setup/npm-packages.mjs";
import { inRoot } from "../setup/places.mjs";
import { ensurePython } from "../setup/python-env.mjs";
import { runCommand } from "../setup/setup-error.mjs";
import { ensureAccounts, requireReadable } from "./server/accounts.mjs";
import { ensureClassKernel } from "./server/kernel.mjs";
import { readClassOptions } from "./server/options.mjs";
import { ensureProxy } from "./server/proxy.mjs";
import { serveClass } from "./server/serve.mjs";

runCommand(async () => {
  requireNode();
  const options = readClassOptions(process.argv.slice(2));
  if (!options) return 0;
  console.log("Setting up what is missing:");
  await ensureNpmPackages({ forTests: false });
  await ensureLibrary();
  await ensureProxy();
  const environment = inRoot(".venv-class");
  await ensurePython(
    { folder: environment, lock: inRoot("scripts", "requirements", "class.txt") },
    "JupyterHub and JupyterLab",
  );
  await ensureClassKernel(environment, options.memory);
  ensureAccounts(options);
  if (!options.oneAccount) requireReadable(options, environment);
  return serveClass(environment, options);
});
