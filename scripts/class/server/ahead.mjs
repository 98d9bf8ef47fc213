// @ts-check
/**
 * Starts students' servers before anyone logs in, each under its student's account as ever: where a whole class comes at
 * once, their start is what it would wait for.
 */
import { readFileSync } from "node:fs";
import { availableParallelism } from "node:os";

/** So much of the machine's memory stays free: a kernel at work takes more than the server that it belongs to. */
const leftFree = 0.5;

/**
 * A few at a time, so that whoever comes meanwhile is not kept waiting. Those that are not started, for memory or because
 * the hub fell over, start when their student logs in.
 *
 * @param {readonly string[]} students
 * @param {{ hubPort: number, token: string, goesOn: () => boolean }} hub
 * @returns {Promise<number>} how many run
 */
export async function startAhead(students, { hubPort, token, goesOn }) {
  let running = 0;
  const names = students.values();
  const lane = async () => {
    for (const name of names) {
      if (!goesOn()) return;
      const status = await fetch(`http://127.0.0.1:${hubPort}/hub/api/users/${name}/server`, {
        method: "POST",
        headers: { Authorization: `token ${token}` },
      }).then(
        (answer) => answer.status,
        () => 0,
      );
      // 400: it runs, for its student was quicker.
      if (![201, 202, 400].includes(status)) return;
      running++;
    }
  };
  await Promise.all(Array.from({ length: Math.max(1, availableParallelism() >> 1) }, lane));
  return running;
}

/**
 * Whether the machine has memory for one more; not where the system does not tell.
 *
 * @param {string} [file]  as Linux writes it
 */
export function memoryLeft(file = "/proc/meminfo") {
  try {
    const text = readFileSync(file, "utf8");
    const [total, available] = ["MemTotal", "MemAvailable"].map((key) =>
      Number(new RegExp(`^${key}:\\s+(\\d+)`, "m").exec(text)?.[1]),
    );
    return available > leftFree * total;
  } catch {
    return false;
  }
}
