// @ts-check
/** The kernel's compiler, made to start sooner and to see cells as the lessons need it. */
const path = require("node:path");
const { samePath } = require("../setup/same-path.cjs");
const { oneChecker } = require("./one-checker.cjs");
const { visitEachChildWithShorthand } = require("./shorthand.cjs");
const { standStill } = require("./still.cjs");

/**
 * @param {any} typescript  the compiler that the kernel uses
 * @param {string} folder  where it lies, with the language's own declarations
 * @returns {any} the same with what we change
 */
function prepared(typescript, folder) {
  const { sys } = typescript;
  standStill(sys);
  // It asks once; a kernel from a snapshot or kept ready learns later where its notebook lies.
  sys.getCurrentDirectory = () => process.cwd();
  // The language's own declarations are read without their comments, a third of the work; ours keep theirs.
  const { readFile } = sys;
  sys.readFile = (/** @type {string} */ file, /** @type {string} */ encoding) => {
    const text = readFile(file, encoding);
    const ofLanguage = samePath(path.dirname(file), folder) && /^lib\..*d\.ts$/.test(path.basename(file));
    return ofLanguage ? text?.replace(/\/\*\*[\s\S]*?\*\//g, "") : text;
  };
  return {
    ...typescript,
    // Cells get a short list of what Node.js offers instead of its full typings: reading those takes longer than all
    // else at the start of a kernel. Whoever imports a package that wants them in full still gets them.
    getDefaultTypeRoots: () => [path.join(__dirname, "types")],
    visitEachChild: visitEachChildWithShorthand(typescript),
    createWatchCompilerHost: (
      /** @type {any} */ files,
      /** @type {any} */ options,
      /** @type {any} */ system,
      /** @type {any} */ _,
      /** @type {any[]} */ ...rest
    ) => typescript.createWatchCompilerHost(files, options, system, oneChecker(typescript), ...rest),
  };
}

module.exports = { prepared };
