// @ts-check
/** One line for each step of the set-up: what happens, how far it is, how long it took. */

const live = process.stdout.isTTY && !process.env.CI;
const quietForMs = 15_000;

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
  let state = "";
  let told = start;
  const line = () => `  ${title} … ${state}${state ? ", " : ""}${Math.round((Date.now() - start) / 1000)} s`;
  const draw = () => {
    if (live) process.stdout.write(`\r\x1b[2K${line()}`);
    else if (Date.now() - told >= quietForMs) {
      told = Date.now();
      console.log(line());
    }
  };
  if (!live) console.log(`  ${title} …`);
  const timer = setInterval(draw, live ? 200 : 1000);
  draw();
  try {
    const result = await work((text) => {
      state = text;
    });
    end(`  ${title}: done in ${((Date.now() - start) / 1000).toFixed(1)} s`);
    return result;
  } catch (error) {
    end(`  ${title}: failed after ${((Date.now() - start) / 1000).toFixed(1)} s`);
    throw error;
  } finally {
    clearInterval(timer);
  }
}

/** @param {string} text */
function end(text) {
  if (live) process.stdout.write("\r\x1b[2K");
  console.log(text);
}
