/**
 * `npm run mutants -- ROOM`: changes the library in one small place at a time (a sign, a comparison, a number of a loop) and
 * asks whether a test of that room notices. What survives is a gap in the tests, code that nothing needs, or no difference.
 *
 * Left out: texts, for tests hold few sentences word by word; generated files; what runs once while a file loads.
 */
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import path from "node:path";
import { type MutantsOptions, readMutantsOptions } from "./mutants/options";
import { keyOf } from "./mutants/sample.mjs";
import { isSurvivor, type MutationReport, tell } from "./mutants/tell";
import { runNpm } from "./setup/npm-command.mjs";
import { inRoot } from "./setup/places.mjs";
import { lastWords } from "./setup/run.mjs";
import { runCommand, SetupError } from "./setup/setup-error.mjs";
import { hashOf, isStamped, writeStamp } from "./setup/stamp.mjs";
import { step } from "./setup/step.mjs";

/** Fetched only here, beside vitest of ours; the last that run on the oldest Node.js we support. */
const tools = ["@stryker-mutator/core@9.6.1", "@stryker-mutator/vitest-runner@9.6.1"];
const folder = inRoot(".mutants");
const report = path.join(folder, "report.json");

runCommand(async () => {
  const options = readMutantsOptions(process.argv.slice(2));
  if (!options) return;
  const sources = inRoot("lib", options.room);
  if (!options.room || !existsSync(sources))
    throw new SetupError(`There is no lib/${options.room}: name a folder or a file of lib/.`);
  const tests = options.tests ?? testsOf(options.room);
  if (!existsSync(inRoot("tests", tests))) throw new SetupError(`There is no tests/${tests}.`);
  await ensureTools();
  const only = options.again ? survivors() : undefined;
  rmSync(report, { force: true });
  const config = path.join(folder, "stryker.json");
  writeFileSync(config, JSON.stringify(configFor(options, statSync(sources).isDirectory(), only)));
  console.log(`Changing lib/${options.room}, running tests/${tests}`);
  const stryker = path.join(folder, "node_modules", "@stryker-mutator", "core", "bin", "stryker.js");
  const env = { ...process.env, EVENGROUND_TESTS: `tests/${tests}` };
  const { status } = spawnSync(process.execPath, [stryker, "run", config], {
    cwd: inRoot(),
    env,
    stdio: "inherit",
  });
  if (!existsSync(report)) return status || 1;
  console.log(tell(lastReport(), options.share_percent < 100 && !only));
});

const lastReport = (): MutationReport => JSON.parse(readFileSync(report, "utf8"));

/** Keys of those that the last run left; reports count lines and columns from 1, StrykerJS itself from 0. */
function survivors(): string[] {
  if (!existsSync(report)) throw new SetupError("There is no last run: leave out --again.");
  const from0 = ({ line, column }: { line: number; column: number }) => ({
    line: line - 1,
    column: column - 1,
  });
  return Object.entries(lastReport().files).flatMap(([file, { mutants }]) =>
    mutants
      .filter(isSurvivor)
      .map(({ location: { start, end }, replacement }) =>
        keyOf(file, { start: from0(start), end: from0(end) }, replacement),
      ),
  );
}

/** The folder of tests with the same name, or the nearest above it that there is. */
function testsOf(room: string): string {
  let tests = room.replace(/\/$/, "");
  while (!existsSync(inRoot("tests", tests)) && tests.includes("/")) tests = path.posix.dirname(tests);
  return tests;
}

async function ensureTools(): Promise<void> {
  const stamp = path.join(folder, "node_modules", ".tools");
  if (isStamped(stamp, hashOf(...tools))) return;
  await step("StrykerJS", async () => {
    mkdirSync(folder, { recursive: true });
    writeFileSync(path.join(folder, "package.json"), JSON.stringify({ private: true }));
    // Without its peers: vitest is the one that runs the tests, in the folder above.
    const { code, output } = await runNpm(
      ["install", "--ignore-scripts", "--legacy-peer-deps", "--no-audit", "--no-fund", ...tools],
      folder,
    );
    if (code !== 0) throw new SetupError(`StrykerJS could not be installed:\n  ${lastWords(output)}`);
  });
  writeStamp(stamp, hashOf(...tools));
}

const configFor = (
  { room, share_percent, seed, processes }: MutantsOptions,
  isFolder: boolean,
  only?: readonly string[],
) => ({
  mutate: isFolder ? [`lib/${room}/**/*.ts`, "!lib/**/*.generated.ts"] : [`lib/${room}`],
  mutator: { excludedMutations: ["StringLiteral"] },
  testRunner: "vitest",
  vitest: { configFile: "tests/vitest.config.mts" },
  coverageAnalysis: "perTest",
  ignoreStatic: true,
  disableTypeChecks: false,
  concurrency: processes,
  // On a busy machine a mutant that only takes its time would count as endless, and so as noticed.
  timeoutMS: 30_000,
  timeoutFactor: 2,
  dryRunTimeoutMinutes: 30,
  plugins: ["@stryker-mutator/*", inRoot("scripts", "mutants", "sample.mjs")],
  checkers: only || share_percent < 100 ? ["sample"] : [],
  sample: { share_percent, seed, only },
  ignorePatterns: ["/*", "!/lib", "!/tests", "!/scripts", "!/data", "!/package.json", "!/tsconfig.json"],
  tempDirName: ".mutants/sandbox",
  reporters: ["json", "progress-append-only"],
  jsonReporter: { fileName: report },
  logLevel: "warn",
  warnings: { unknownOptions: false },
});
