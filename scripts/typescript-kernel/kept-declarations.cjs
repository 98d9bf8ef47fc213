// @ts-check
/** Declarations that a start-up snapshot has read already: half of a kernel's start without one. */

const { isBelow } = require("../setup/same-path.cjs");

/** @type {Map<string, any>} */
let kept = new Map();

/**
 * @param {any} host  where a program reads its files
 * @returns {any} the same, which reads none that is kept
 */
function withKept(host) {
  if (kept.size === 0) return host;
  return Object.assign(Object.create(host), {
    getSourceFile: (/** @type {string} */ file, /** @type {unknown[]} */ ...rest) =>
      kept.get(file) ?? host.getSourceFile(file, ...rest),
    getSourceFileByPath: (
      /** @type {string} */ file,
      /** @type {string} */ path,
      /** @type {unknown[]} */ ...rest
    ) => kept.get(file) ?? host.getSourceFileByPath(file, path, ...rest),
  });
}

/** @param {readonly any[]} files  as a program has read them; binding them is left to who does so */
function keepDeclarations(files) {
  kept = new Map(files.map((file) => [file.fileName, file]));
}

/** @param {string} folder  whose files have changed since */
function forgetBelow(folder) {
  for (const file of kept.keys()) if (isBelow(file, folder)) kept.delete(file);
}

module.exports = { withKept, keepDeclarations, forgetBelow };
