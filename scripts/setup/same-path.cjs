// @ts-check
/** Whether two spellings of a path mean one place, by the rules of the system: slashes on Windows, capitals there and on a Mac. */
const path = require("node:path");

/**
 * A path as one spells it to compare it; not one to open.
 *
 * @param {string} file
 * @param {string} [platform]
 */
function comparable(file, platform = process.platform) {
  const { normalize } = platform === "win32" ? path.win32 : path.posix;
  const plain = normalize(file).replace(/(?<=.)[\\/]+$/, "");
  // A Mac's disk can tell capitals apart, which few do: taking two names for one is then the safe mistake. Nor does it
  // tell apart the two ways to write an accent.
  return platform === "win32" || platform === "darwin" ? plain.normalize("NFC").toLowerCase() : plain;
}

/**
 * @param {string} a
 * @param {string} b
 * @param {string} [platform]
 */
const samePath = (a, b, platform) => comparable(a, platform) === comparable(b, platform);

/**
 * Whether a path lies below a folder, however deep; the folder itself does not.
 *
 * @param {string} inner  absolute
 * @param {string} outer  absolute
 * @param {string} [platform]
 */
function isBelow(inner, outer, platform = process.platform) {
  const { relative, isAbsolute, sep } = platform === "win32" ? path.win32 : path.posix;
  const way = relative(comparable(outer, platform), comparable(inner, platform));
  return way !== "" && way !== ".." && !way.startsWith(`..${sep}`) && !isAbsolute(way);
}

module.exports = { comparable, samePath, isBelow };
