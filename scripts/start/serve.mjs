// @ts-check
/** JupyterLab on this computer alone, with a token, from start to a clean end. */
import { spawn } from "node:child_process";
import { randomBytes } from "node:crypto";
import { closeSync, openSync, readFileSync } from "node:fs";
import { jupyterEnvironment } from "../setup/jupyter-home.mjs";
import { remove } from "../setup/patient-files.cjs";
import { inRoot, isWindows, root } from "../setup/places.mjs";
import { lastWords } from "../setup/run.mjs";
import { SetupError } from "../setup/setup-error.mjs";
import { untilAnswering } from "../setup/until-answering.mjs";
import { freePort } from "./free-port.mjs";
import { jupyterOptions } from "./jupyter-options.mjs";

/**
 * Serves until the user ends it.
 *
 * @param {{ python: string, folder: string, page: string, port?: number, browser: boolean }} options  `page`: what to open first
 * @returns {Promise<number>} exit code
 */
export async function serve({ python, folder, page, port: wanted, browser }) {
  const port = await freePort(wanted);
  const token = randomBytes(24).toString("hex");
  const logFile = inRoot(".jupyter", "log.txt");
  const env = { ...jupyterEnvironment(), JUPYTER_TOKEN: token };
  remove(logFile);
  const log = openSync(logFile, "w", 0o600);
  // In a group of its own, so that Ctrl-C reaches this program alone, which then ends Jupyter in order. Windows would give a
  // group of its own no console, and each kernel a window; there Jupyter hears Ctrl-C, and the closing of the window, too.
  const words = [inRoot("scripts", "jupyter", "quick_start.py"), "jupyterlab"];
  const child = spawn(python, [...words, ...jupyterOptions({ folder, page, port, browser })], {
    cwd: root,
    env,
    stdio: ["ignore", log, log],
    detached: !isWindows,
    windowsHide: true,
  });
  closeSync(log);
  let over = false;
  const ended = new Promise((resolve) => {
    child.once("exit", () => resolve(undefined));
    child.once("error", () => resolve(undefined));
  }).then(() => {
    over = true;
  });
  const address = `http://127.0.0.1:${port}`;
  let stopping = false;
  const stop = () => {
    if (stopping) return;
    stopping = true;
    console.log("\nStopping …");
    endJupyter(child, `${address}/api/shutdown?token=${token}`, ended);
  };
  for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"]) process.on(signal, stop);
  // Whatever ends this program, Jupyter is not left behind.
  process.once("exit", () => over || child.kill("SIGKILL"));

  const answered = await untilAnswering(`${address}/api/status?token=${token}`, () => over || stopping);
  if (answered) {
    console.log(
      `\nThe course is open at\n\n  ${address}${page}?token=${token}\n\nPress Ctrl-C here to stop it.`,
    );
  } else if (!stopping) {
    throw new SetupError(
      `JupyterLab did not start: remove the folder ${inRoot(".venv")} and start again.\nIt said (all of it in ${logFile}):\n  ${lastWords(readFileSync(logFile, "utf8"))}`,
    );
  }
  await ended;
  if (stopping) {
    console.log("Stopped.");
    return 0;
  }
  console.error(`JupyterLab has ended by itself; what it said last is in ${logFile}.`);
  return 1;
}

/**
 * Asks Jupyter to end itself and its kernels; where it does not, ends it by force.
 *
 * @param {import("node:child_process").ChildProcess} child
 * @param {string} shutdown  address that takes the wish
 * @param {Promise<void>} ended
 */
async function endJupyter(child, shutdown, ended) {
  const asked = await fetch(shutdown, {
    method: "POST",
    signal: AbortSignal.timeout(3000),
  }).catch(() => undefined);
  // On Windows, where no signal asks, it is at its end already.
  if (!asked?.ok && !isWindows) child.kill("SIGTERM");
  const force = setTimeout(() => child.kill("SIGKILL"), 10_000);
  await ended;
  clearTimeout(force);
}
