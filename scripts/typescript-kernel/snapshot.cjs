// @ts-check
/**
 * The start-up snapshot of the kernel: its code, the compiler and the library as they are once loaded, with all
 * declarations read. `scripts/setup/snapshot.mjs` bundles this file and has Node.js keep what it leaves in memory; a kernel
 * that starts from there goes on in the function at the end.
 */
const { realpathSync } = require("node:fs");
const Module = require("node:module");
const path = require("node:path");
const { startupSnapshot } = require("node:v8");
const { begin } = require("./begin.cjs");
const { forgetBelow, keepDeclarations } = require("./kept-declarations.cjs");
const { lastProgram } = require("./one-checker.cjs");
const { libraryStamp } = require("./renewed.cjs");
// The bundle gives the compiler as compiler.cjs prepares it.
const typescript = require("@tslab/typescript-for-tslab");
const { createConverter } = require("tslab/dist/converter.js");
const jupyter = require("tslab/dist/jupyter.js");
const main = require("tslab/dist/main.js");
const library = require("evenground");

const dist = path.join(__dirname, "..", "..", "dist");
const stamp = libraryStamp();

/** A cell like those of the lessons. */
const cell = 'import * as all from "evenground"; const xs = [1, 2].map((x) => ({ x, y: -x })); all;';

// What cells go through is compiled, and what they read is there.
const converter = createConverter({ isJS: false, isBrowser: false });
const { diagnostics } = converter.convert("", cell);
if (diagnostics.length) throw new Error(JSON.stringify(diagnostics));
keepDeclarations(
  lastProgram()
    .getSourceFiles()
    .filter((/** @type {any} */ file) => file.isDeclarationFile && !file.fileName.endsWith("__prev__.d.ts")),
);
converter.close();

startupSnapshot.setDeserializeMainFunction(() => {
  // Node.js makes a snapshot without this one, and without it an error has no stack.
  Error.stackTraceLimit = 10;
  if (stamp !== undefined && libraryStamp() === stamp) give(library);
  else forgetBelow(dist);
  if (process.argv.includes("--try")) tryOut();
  else begin(() => ({ ...main, ...jupyter, typescript, zeromq: require("zeromq") }));
});

/** Whether what is kept works: set-up asks before any kernel relies on it. */
function tryOut() {
  const again = createConverter({ isJS: false, isBrowser: false });
  const { diagnostics: problems, output } = again.convert("", cell);
  again.close();
  require("zeromq");
  if (problems.length || !output) process.exit(1);
}

/**
 * What a cell imports is the library as it was loaded.
 *
 * @param {unknown} exports
 */
function give(exports) {
  const file = realpathSync(path.join(dist, "index.js"));
  const modules = /** @type {any} */ (Module);
  const module = new modules(file);
  Object.assign(module, { filename: file, exports, loaded: true });
  modules._cache[file] = module;
}
