// @ts-check
/**
 * Renaming and removing where something else may hold the file for a moment. On Windows a virus scanner, an indexer or
 * the editor does, just after it was written, and the system refuses instead of waiting; elsewhere a refusal is meant.
 */
const { renameSync, rmSync } = require("node:fs");

/** What Windows says of a file, or of one within a folder, that is in use. */
const heldCodes = ["EACCES", "EBUSY", "EPERM", "ENOTEMPTY"];

/** Milliseconds between tries: about six seconds in all, which a scanner of a large folder takes. */
const pauses = [10, 20, 50, 100, 200, 400, 800, 1600, 3000];

/**
 * @template T
 * @param {() => T} work  done again as long as its file is held
 * @param {{ platform?: string, pause?: (ms: number) => void }} [options]
 * @returns {T}
 */
function patiently(work, { platform = process.platform, pause = sleep } = {}) {
  for (let i = 0; ; i++) {
    try {
      return work();
    } catch (error) {
      const { code } = /** @type {NodeJS.ErrnoException} */ (error);
      if (platform !== "win32" || i === pauses.length || !heldCodes.includes(code ?? "")) throw error;
      pause(pauses[i]);
    }
  }
}

/** @param {number} ms */
const sleep = (ms) => Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, ms);

/**
 * @param {string} from
 * @param {string} to
 */
const rename = (from, to) => patiently(() => renameSync(from, to));

/**
 * Removes a file or a whole folder, or nothing where there is none.
 *
 * @param {string} what
 */
const remove = (what) => patiently(() => rmSync(what, { recursive: true, force: true }));

module.exports = { patiently, rename, remove };
