// @ts-check
/**
 * Starts the TypeScript kernel for the lessons: sooner than it would by itself, and with errors that speak of the cell
 * alone. Jupyter runs this file; its arguments are the kernel's own.
 */
const path = require("node:path");
const { keepCompiledCode } = require("./compiled-code.cjs");
const { samePath } = require("../setup/same-path.cjs");
const { endWithParent } = require("./orphan.cjs");
const { speakPlainly } = require("./plain-errors.cjs");
const { replyInFull } = require("./replies.cjs");
const { visitEachChildWithShorthand } = require("./shorthand.cjs");
const { standStill } = require("./still.cjs");

endWithParent();
keepCompiledCode(path.join(__dirname, "..", "..", ".jupyter", "compiled"));

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

standStill(typescript.sys);

/** The language's own declarations are read without their comments, a third of the work; ours keep theirs. */
const { readFile } = typescript.sys;
typescript.sys.readFile = (/** @type {string} */ file, /** @type {string} */ encoding) => {
  const text = readFile(file, encoding);
  const ofLanguage =
    samePath(path.dirname(file), path.dirname(compiler)) && /^lib\..*d\.ts$/.test(path.basename(file));
  return ofLanguage ? text?.replace(/\/\*\*[\s\S]*?\*\//g, "") : text;
};

speakPlainly();
replyInFull(require("tslab/dist/jupyter.js").JupyterHandlerImpl);
require("tslab/dist/main.js").main();
