// @ts-check
/** One line for each step of the set-up: what happens, how far it is, how long it took. Steps may run side by side. */

const live = process.stdout.isTTY && !process.env.CI;
const quietForMs = 15_000;

/** @typedef {{ title: string, start: number, told: number, state: string }} Running */
/** @type {Set<Running>} */
const running = new Set();
/** @type {NodeJS.Timeout | undefined} */
let timer;

/**
 * Runs one step and tells its progress: in place on a terminal, as a line now and then elsewhere.
 *
 * @template T
 * @param {string} title  what is being done, such as "npm packages"
 * @param {(progress: (text: string) => void) => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function step(title, work) {
  const start = Date.now();
  const one = { title, start, told: start, state: "" };
  running.add(one);
  if (!live) console.log(`  ${title} …`);
  timer ??= setInterval(draw, live ? 200 : 1000);
  draw();
  let ending = "failed after";
  try {
    const result = await work((text) => {
      one.state = text;
    });
    ending = "done in";
    return result;
  } finally {
    running.delete(one);
    if (running.size === 0) {
      clearInterval(timer);
      timer = undefined;
    }
    if (live) process.stdout.write("\r\x1b[2K");
    console.log(`  ${title}: ${ending} ${((Date.now() - start) / 1000).toFixed(1)} s`);
  }
}

function draw() {
  if (live) {
    const line = `  ${[...running].map(tell).join("  |  ")}`;
    process.stdout.write(`\r\x1b[2K${line.slice(0, (process.stdout.columns || 80) - 1)}`);
    return;
  }
  for (const one of running) {
    if (Date.now() - one.told < quietForMs) continue;
    one.told = Date.now();
    console.log(`  ${tell(one)}`);
  }
}

/** @param {Running} one */
const tell = ({ title, start, state }) =>
  `${title} … ${state}${state && ", "}${Math.round((Date.now() - start) / 1000)} s`;
