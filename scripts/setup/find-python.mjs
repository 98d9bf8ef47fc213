// @ts-check
/** Looks for a Python that is new enough, under the names that systems give it. */
import { isWindows } from "./places.mjs";
import { run } from "./run.mjs";

const oldest = [3, 10];

/**
 * @typedef {{ command: string, args: string[], version: string }} Python
 *
 * @returns {Promise<{ python?: Python, tooOld?: string, noVenv?: string }>} a Python to use, or the version of one that is
 *   too old, or of one that lacks what makes virtual environments
 */
export async function findPython() {
  /** @type {string | undefined} */
  let tooOld;
  /** @type {string | undefined} */
  let noVenv;
  for (const [command, ...args] of candidates()) {
    const { code, output } = await run(command, [
      ...args,
      "-c",
      "import sys; print('%d.%d.%d' % sys.version_info[:3])\ntry:\n import venv, ensurepip; print('venv')\nexcept ImportError: pass",
    ]);
    const [version, venv] = output.split(/\r?\n/);
    if (code !== 0 || !/^\d+\.\d+\.\d+$/.test(version)) continue;
    const [major, minor] = version.split(".").map(Number);
    if (major < oldest[0] || (major === oldest[0] && minor < oldest[1])) tooOld ??= version;
    else if (venv !== "venv") noVenv ??= version;
    else return { python: { command, args, version } };
  }
  return { tooOld, noVenv };
}

/** @returns {string[][]} */
function candidates() {
  if (process.env.EVENGROUND_PYTHON) return [[process.env.EVENGROUND_PYTHON]];
  if (isWindows) return [["py", "-3"], ["python"], ["python3"]];
  return ["python3", "python", "python3.13", "python3.12", "python3.11", "python3.10"].map((name) => [name]);
}
