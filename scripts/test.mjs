// @ts-check
/** `npm test`: what the tests need is set up where it is missing, then the library's tests run. */
import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync } from "node:fs";
import { ensureLibrary } from "./setup/library.mjs";
import { requireNode } from "./setup/node-version.mjs";
import { ensureNpmPackages } from "./setup/npm-packages.mjs";
import { remove } from "./setup/patient-files.cjs";
import { inRoot } from "./setup/places.mjs";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(async () => {
  requireNode();
  await ensureNpmPackages();
  await ensureLibrary();
  const counts = inRoot("results", "tests.json");
  mkdirSync(inRoot("results"), { recursive: true });
  remove(counts);
  const { status } = spawnSync(
    process.execPath,
    [
      inRoot("node_modules", "vitest", "vitest.mjs"),
      "run",
      "--config",
      inRoot("tests", "vitest.config.mts"),
      "--reporter=default",
      "--reporter=json",
      `--outputFile.json=${counts}`,
      ...process.argv.slice(2),
    ],
    { cwd: inRoot(), stdio: "inherit" },
  );
  const { passed, failed } = count(counts);
  console.log(`${passed} passed, ${failed} failed`);
  return status === 0 && failed > 0 ? 1 : (status ?? 1);
});

/**
 * Tests that passed and failed; a file that could not even be loaded counts as one failure.
 *
 * @param {string} file  vitest's own report
 */
function count(file) {
  try {
    const report = JSON.parse(readFileSync(file, "utf8"));
    const unloaded = report.testResults.filter(
      (/** @type {any} */ suite) => suite.status === "failed" && suite.assertionResults.length === 0,
    );
    return {
      passed: report.numPassedTests,
      failed: report.numFailedTests + unloaded.length,
    };
  } catch {
    return { passed: 0, failed: 1 };
  }
}
