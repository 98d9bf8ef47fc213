// @ts-check
/** Whether the course has been updated under a running kernel: its errors then may come of old and new parts together. */
const { readFileSync } = require("node:fs");
const path = require("node:path");

/** @type {string | undefined} */
let atStart;

/** What the kernel has loaded is what lies there now. */
function rememberLibrary() {
  atStart = libraryStamp();
}

/** @returns {string | undefined} what to do; nothing where all is as it was when the kernel started */
function ifRenewed() {
  const now = libraryStamp();
  // Without one it is, or was, just being built.
  if (now === undefined || atStart === undefined || now === atStart) return undefined;
  return "The course has been updated since this kernel started: choose Kernel, Restart Kernel and Run All Cells. What you have saved stays.";
}

/** @returns {string | undefined} what says from what the built library was made */
function libraryStamp() {
  const dist = path.join(__dirname, "..", "..", "dist");
  try {
    return readFileSync(process.env.EVENGROUND_LIBRARY_STAMP ?? path.join(dist, ".stamp"), "utf8");
  } catch {
    return undefined;
  }
}

module.exports = { ifRenewed, libraryStamp, rememberLibrary };
