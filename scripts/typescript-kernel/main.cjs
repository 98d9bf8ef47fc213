// @ts-check
/**
 * Starts the TypeScript kernel for the lessons: sooner than it would by itself, and with errors that speak of the cell
 * alone. Jupyter runs this file; its arguments are the kernel's own.
 */
const module_ = require("node:module");
const path = require("node:path");
const { speakPlainly } = require("./plain-errors.cjs");
const { visitEachChildWithShorthand } = require("./shorthand.cjs");

// Node.js 22 and newer keep compiled code between starts.
const cache = path.join(__dirname, "..", "..", ".jupyter", "compiled");
/** @type {any} */ (module_).enableCompileCache?.(cache);

/**
 * Cells get a short list of what Node.js offers instead of its full typings: reading those takes longer than all
 * else at the start of a kernel. Whoever imports a package that wants them in full still gets them.
 */
const compiler = require.resolve("@tslab/typescript-for-tslab", {
  paths: [require.resolve("tslab/package.json")],
});
const typescript = require(compiler);
const loaded = require.cache[compiler];
if (loaded)
  loaded.exports = {
    ...typescript,
    getDefaultTypeRoots: () => [path.join(__dirname, "types")],
    visitEachChild: visitEachChildWithShorthand(typescript),
  };

speakPlainly();
require("tslab/dist/main.js").main();
