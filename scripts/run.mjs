// @ts-check
/**
 * Runs a program once all that it needs is there:
 *
 *     node scripts/run.mjs vitest run               a tool that lies in node_modules
 *     node scripts/run.mjs scripts/study.ts SHOW    a program of ours, which may use the built library
 *
 * `--without-tests` before it leaves out the packages that only tests and checks use. Flags of Node.js go on to the program.
 */
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { ensureLibrary } from "./setup/library.mjs";
import { requireNode } from "./setup/node-version.mjs";
import { ensureNpmPackages } from "./setup/npm-packages.mjs";
import { inRoot } from "./setup/places.mjs";
import { runCommand } from "./setup/setup-error.mjs";

/** The package of each tool. */
const tools = {
  biome: "@biomejs/biome",
  depcruise: "dependency-cruiser",
  tsc: "typescript",
  vitest: "vitest",
};

runCommand(async () => {
  requireNode();
  const forTests = process.argv[2] !== "--without-tests";
  const [program, ...args] = process.argv.slice(forTests ? 2 : 3);
  await ensureNpmPackages({ forTests });
  if (program.endsWith(".ts") || ["tsc", "vitest"].includes(program)) await ensureLibrary();
  // Ctrl-C reaches the program as well: it may want to put away what it has.
  process.on("SIGINT", () => {});
  if (program.endsWith(".ts")) {
    const { runTypeScript } = await import("./setup/run-typescript.mjs");
    return runTypeScript(inRoot(program), args);
  }
  const file = program.endsWith(".mjs")
    ? inRoot(program)
    : binOf(/** @type {keyof typeof tools} */ (program));
  return spawnSync(process.execPath, [file, ...args], { cwd: inRoot(), stdio: "inherit" }).status ?? 1;
});

/** @param {keyof typeof tools} tool */
function binOf(tool) {
  const folder = inRoot("node_modules", ...tools[tool].split("/"));
  const { bin } = JSON.parse(readFileSync(`${folder}/package.json`, "utf8"));
  return `${folder}/${typeof bin === "string" ? bin : bin[tool]}`;
}
