// @ts-check
/** Servers that an earlier start has left behind because it was killed: found, named, and ended if the user wants it. */
import { spawnSync } from "node:child_process";
import { createInterface } from "node:readline/promises";
import { SetupError } from "./setup-error.mjs";

/**
 * @typedef {{ id: number, parent: number, words: string }} Process
 *
 * @returns {Process[]} all of this computer; none where the system does not tell
 */
function processes() {
  const { stdout } = spawnSync("ps", ["-axww", "-o", "pid=,ppid=,args="], { encoding: "utf8" });
  return (stdout ?? "").split("\n").flatMap((line) => {
    const [, id, parent, words] = /^\s*(\d+)\s+(\d+)\s+(.*)$/.exec(line) ?? [];
    return id ? [{ id: Number(id), parent: Number(parent), words }] : [];
  });
}

/**
 * Those that are ours and whose starter has gone.
 *
 * @param {(words: string) => boolean} isOurs  by the command line
 * @param {string} starter  what stands in the command line of what starts them
 * @param {readonly Process[]} [all]
 * @returns {number[]}
 */
export function leftRunning(isOurs, starter, all = processes()) {
  const byId = new Map(all.map((one) => [one.id, one]));
  return all
    .filter(({ words }) => isOurs(words))
    .filter((one) => {
      /** @type {Process | undefined} */
      let above = one;
      while (above && !above.words.includes(starter)) above = byId.get(above.parent);
      return above === undefined;
    })
    .map(({ id }) => id);
}

/**
 * Ends them where the user says so, or where nobody can be asked tells how.
 *
 * @param {readonly number[]} ids
 * @param {string} what  they are, such as "JupyterLab"
 */
export async function offerToEnd(ids, what) {
  if (ids.length === 0) return;
  const told = `${what} of an earlier start still runs, for that was ended by force (process ${ids.join(", ")}).`;
  if (!process.stdin.isTTY || !process.stdout.isTTY) {
    console.log(`${told} End it with: kill ${ids.join(" ")}`);
    return;
  }
  const lines = createInterface({ input: process.stdin, output: process.stdout });
  const answer = await lines.question(`${told} End it now? [Y/n] `);
  lines.close();
  if (/^\s*n/i.test(answer)) return;
  for (const id of ids) endOne(id, "SIGTERM");
  for (let i = 0; i < 50 && ids.some(isAlive); i++) await new Promise((resolve) => setTimeout(resolve, 200));
  for (const id of ids.filter(isAlive)) endOne(id, "SIGKILL");
}

/** @param {number} id */
const isAlive = (id) => endOne(id, 0);

/**
 * @param {number} id
 * @param {NodeJS.Signals | 0} signal
 * @returns {boolean} whether it is there
 */
function endOne(id, signal) {
  try {
    process.kill(id, signal);
    return true;
  } catch (error) {
    if (/** @type {NodeJS.ErrnoException} */ (error).code === "ESRCH") return false;
    throw new SetupError(`Process ${id} belongs to another account: end it there, or ask who may.`);
  }
}
