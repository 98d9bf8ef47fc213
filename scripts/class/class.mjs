// @ts-check
/** `npm run class`: the course for a whole class from one machine, by JupyterHub. */

import { spawnSync } from "node:child_process";
import path from "node:path";
import { leftRunning, offerToEnd } from "../setup/left-running.mjs";
import { ensureLibrary } from "../setup/library.mjs";
import { requireNode } from "../setup/node-version.mjs";
import { ensureNpmPackages } from "../setup/npm-packages.mjs";
import { inRoot, pythonOf } from "../setup/places.mjs";
import { ensurePython } from "../setup/python-env.mjs";
import { runCommand } from "../setup/setup-error.mjs";
import { ensureAccounts, requireReadable } from "./server/accounts.mjs";
import { ensureClassKernel } from "./server/kernel.mjs";
import { whileOpen } from "./server/latecomers.mjs";
import { readClassOptions } from "./server/options.mjs";
import { ensurePasswords } from "./server/passwords.mjs";
import { ensureProxy } from "./server/proxy.mjs";
import { serveClass } from "./server/serve.mjs";

runCommand(async () => {
  requireNode();
  const options = readClassOptions(process.argv.slice(2));
  if (!options) return 0;
  if (options.anew.length > 0) {
    // Beside an open class: its hub looks at the passwords anew at each log-in.
    tellPasswords(passwordsOf(options));
    console.log("It holds at once, whether the class is open or not.");
    return 0;
  }
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
  await offerToEnd(
    leftRunning(
      (words) => /jupyterhub|configurable-http-proxy/.test(words) && words.includes(inRoot()),
      "class.mjs",
    ),
    "The class server",
  );
  ensureAccounts(options);
  if (!options.oneAccount) requireReadable(options, environment);
  if (!options.oneAccount) console.log(boundsInWords(environment, options));
  // Last, close above the address to which they belong.
  tellPasswords(passwordsOf(options));
  const watch = whileOpen(options, () => {
    ensureAccounts(options);
    tellPasswords(passwordsOf(options));
  });
  return serveClass(environment, options).finally(watch.end);
});

/** @param {import("./server/options.mjs").ClassOptions} options */
const passwordsOf = ({ folder, teacher, students, passwords, anew }) =>
  ensurePasswords(path.join(folder, "state"), [teacher, ...students], { given: passwords, anew });

/** @param {Map<string, string>} made */
function tellPasswords(made) {
  if (made.size === 0) return;
  console.log("\nPasswords, shown this once: give each student theirs.\n");
  for (const [name, password] of made) console.log(`  ${name.padEnd(16)} ${password}`);
  console.log("\nWho has lost theirs gets another one by --new-password NAME, in another window.\n");
}

/**
 * What each student's server is held to.
 *
 * @param {string} environment
 * @param {import("./server/options.mjs").ClassOptions} options
 */
function boundsInWords(environment, { memory }) {
  const asked = spawnSync(pythonOf(environment), [inRoot("scripts", "class", "server", "bounds.py")], {
    encoding: "utf8",
  });
  const whole =
    asked.stdout?.trim() === "groups"
      ? `${2 * memory + 500} MB and 400 processes in all`
      : `400 processes, and ${memory} MB for each kernel: this machine has no control groups for memory as a whole`;
  return `Each student's server has ${whole}; one file at most 500 MB. How much they keep on the disk is not limited: set a quota where you need one.`;
}
