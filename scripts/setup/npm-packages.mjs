// @ts-check
/** The npm packages: exactly those of package-lock.json, without running any package's own install script. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { runNpm } from "./npm-command.mjs";
import { remove } from "./patient-files.cjs";
import { inRoot } from "./places.mjs";
import { lastWords } from "./run.mjs";
import { SetupError } from "./setup-error.mjs";
import { hashOf, isStamped, writeStamp } from "./stamp.mjs";
import { step } from "./step.mjs";

const lockFile = inRoot("package-lock.json");
const stampFile = inRoot("node_modules", ".evenground-packages");

/**
 * Installs the packages of the lock where they are missing or differ from it.
 *
 * @param {{ forTests?: boolean }} [options]  whether what only tests and checks use is wanted too; a student's computer does
 *   without, which halves what is fetched
 */
export async function ensureNpmPackages({ forTests = true } = {}) {
  const all = hashOf(readFileSync(lockFile), process.platform, process.arch);
  const some = `${all} without those for tests`;
  if (isStamped(stampFile, all) || (!forTests && isStamped(stampFile, some))) return;
  if (isInstalled(true)) writeStamp(stampFile, all);
  else if (!forTests && isInstalled(false)) writeStamp(stampFile, some);
  else {
    await step("npm packages", (progress) => install(forTests, progress));
    writeStamp(stampFile, forTests ? all : some);
  }
}

/**
 * @param {boolean} forTests
 * @param {(text: string) => void} progress
 */
async function install(forTests, progress) {
  progress("fetching and unpacking");
  const args = [
    "ci",
    "--ignore-scripts",
    "--no-audit",
    "--no-fund",
    "--no-progress",
    ...(forTests ? [] : ["--omit=dev"]),
  ];
  const { code, output } = await runNpm(args);
  if (code === 0) return forTests ? undefined : removeMaps();
  if (code === 127)
    throw new SetupError("npm was not found: install Node.js with npm from nodejs.org, then run this again.");
  throw new SetupError(
    `The npm packages could not be installed: check the network connection (and free disk space), then run this again.\nnpm said:\n  ${lastWords(output)}`,
  );
}

/** Takes out what only serves to debug the packages themselves: a tenth of what a course takes. */
function removeMaps() {
  const found = readdirSync(inRoot("node_modules"), { recursive: true, withFileTypes: true });
  for (const entry of found.filter((one) => one.isFile() && one.name.endsWith(".map")))
    remove(path.join(entry.parentPath, entry.name));
}

/**
 * Whether node_modules already holds each package of the lock, whoever put it there (packages for other systems apart).
 *
 * @param {boolean} forTests
 */
function isInstalled(forTests) {
  const hidden = inRoot("node_modules", ".package-lock.json");
  if (!existsSync(hidden)) return false;
  const wanted = JSON.parse(readFileSync(lockFile, "utf8")).packages;
  const found = JSON.parse(readFileSync(hidden, "utf8")).packages;
  return Object.entries(wanted).every(([folder, { version, optional, dev, devOptional }]) => {
    const canMiss = optional || devOptional || (dev && !forTests);
    return folder === "" || found[folder]?.version === version || (canMiss && !found[folder]);
  });
}
