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
    if (process.ppid !== parent) process.exit(0);
  }, period).unref();
};
