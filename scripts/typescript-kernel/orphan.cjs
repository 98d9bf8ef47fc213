// @ts-check
/**
 * Ends the kernel when whoever started it has ended without a word, as a server does that is killed: nobody can reach the
 * kernel any more, and it would keep its memory.
 *
 * A cell that never comes to rest keeps this from being looked at; in a class the system sees to it as well.
 *
 * @param {number} [period]  milliseconds between looks
 */
exports.endWithParent = (period = 2000) => {
  const parent = process.ppid;
  setInterval(() => {
    if (isOrphan(parent, process)) process.exit(0);
  }, period).unref();
};

/**
 * Whether the process that started this one has ended. Most systems then give it another parent. Windows goes on naming the
 * old one, so there it is asked for; its number goes to nobody else meanwhile, for Jupyter gives each kernel a handle of its
 * parent (JPY_PARENT_PID), and a number is free only when the last handle is closed.
 *
 * @param {number} parent  who it was at the start
 * @param {{ platform: string, ppid: number, kill: (id: number, signal: 0) => unknown }} system
 */
function isOrphan(parent, { platform, ppid, kill }) {
  if (platform !== "win32") return ppid !== parent;
  try {
    kill(parent, 0); // asks only
    return false;
  } catch {
    return true; // ended, or now somebody else's
  }
}
exports.isOrphan = isOrphan;
