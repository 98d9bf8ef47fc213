// @ts-check
/**
 * What is installed stands still while a kernel runs: it has loaded the code, and keeps the types that belong to it. Else an
 * update of the course makes the compiler begin anew in the middle of a cell, which then fails.
 */
const path = require("node:path");
const { isBelow } = require("../setup/same-path.cjs");

const still = { close() {} };
const library = path.join(__dirname, "..", "..", "dist");

/** @param {any} sys  the compiler's view of the system */
function standStill(sys) {
  const { watchFile } = sys;
  sys.watchFile = (/** @type {string} */ file, /** @type {unknown[]} */ ...rest) => {
    const installed = isBelow(file, library) || file.split(/[\\/]/).includes("node_modules");
    return installed ? still : watchFile.call(sys, file, ...rest);
  };
  sys.watchDirectory = () => still;
}

module.exports = { standStill };
