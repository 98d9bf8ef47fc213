// @ts-check
/** Looks for a Python that is new enough, under the names and in the places that systems give it. */
import { existsSync, readdirSync } from "node:fs";
import { homedir } from "node:os";
import path from "node:path";
import { run } from "./run.mjs";

const oldest = 10;
/** The newest of which the locks' packages are known to come built; a newer one is taken where there is no other. */
const newest = 14;

/**
 * @typedef {{ command: string, args: string[], version: string }} Python
 * @typedef {{ python?: Python, tooOld?: string, noVenv?: string, placeholder?: boolean }} Found  a Python to use, or the
 *   version of one that is too old, or of one that lacks what makes virtual environments; `placeholder` where a Mac has
 *   Apple's stand-in alone
 * @typedef {{ platform: string, env: NodeJS.ProcessEnv, home: string, names: (folder: string) => string[],
 *   exists: (file: string) => boolean, run: typeof run }} System
 */

/** Says its version and whether it can make environments. */
const question =
  "import sys; print('%d.%d.%d' % sys.version_info[:3])\ntry:\n import venv, ensurepip; print('venv')\nexcept ImportError: pass";

/**
 * @param {System} [system]
 * @returns {Promise<Found>}
 */
export async function findPython(system = thisSystem()) {
  /** @type {Found} */
  const found = {};
  /** @type {Python | undefined} */
  let untried;
  const placeholder = await isPlaceholder(system);
  for (const [command, ...args] of candidates(system)) {
    if (placeholder && asFound(command, system) === ofApple) {
      found.placeholder = true;
      continue;
    }
    const { code, output } = await system.run(command, [...args, "-c", question]);
    const [version, venv] = output.split(/\r?\n/);
    if (code !== 0 || !/^\d+\.\d+\.\d+$/.test(version)) continue;
    const [major, minor] = version.split(".").map(Number);
    if (major < 3 || (major === 3 && minor < oldest)) found.tooOld ??= version;
    else if (venv !== "venv") found.noVenv ??= version;
    else if (major > 3 || minor > newest) untried ??= { command, args, version };
    else return { python: { command, args, version } };
  }
  return untried ? { python: untried } : found;
}

/** @returns {System} */
const thisSystem = () => ({
  platform: process.platform,
  env: process.env,
  home: homedir(),
  names: (folder) => (existsSync(folder) ? readdirSync(folder) : []),
  exists: existsSync,
  run,
});

/**
 * The commands to try, best first. One that is no Python, or a shim of one that is not chosen, fails and is passed over.
 *
 * @param {Pick<System, "platform" | "env" | "home" | "names">} system
 * @returns {string[][]}
 */
export function candidates({ platform, env, home, names }) {
  if (env.EVENGROUND_PYTHON) return [[env.EVENGROUND_PYTHON]];
  const minors = Array.from({ length: newest - oldest + 1 }, (_, i) => newest - i);
  if (platform === "win32") {
    const { join } = path.win32;
    const versions = join(env.PYENV_ROOT ?? join(home, ".pyenv", "pyenv-win"), "versions");
    return [
      ["py", "-3"],
      ["python"],
      ["python3"],
      // the launcher's own choice is the newest, which may be too new
      ...minors.map((minor) => ["py", `-3.${minor}`]),
      // its shims are batch files, which only a shell can start
      ...newestFirst(names(versions)).map((name) => [join(versions, name, "python.exe")]),
    ];
  }
  const { join } = path.posix;
  const versions = join(env.PYENV_ROOT ?? join(home, ".pyenv"), "versions");
  const ofMac = [
    "/opt/homebrew/bin",
    "/usr/local/bin",
    "/Library/Frameworks/Python.framework/Versions/Current/bin",
  ];
  return [
    ["python3"],
    ["python"],
    ...minors.map((minor) => [`python3.${minor}`]),
    ...(platform === "darwin" ? ofMac.map((folder) => [join(folder, "python3")]) : []),
    ...newestFirst(names(versions)).map((name) => [join(versions, name, "bin", "python3")]),
  ];
}

/** @param {string[]} names */
const newestFirst = (names) =>
  names.filter((name) => /^3\./.test(name)).sort((a, b) => b.localeCompare(a, "en", { numeric: true }));

/** Where a Mac keeps a program of this name, with or without a Python behind it. */
const ofApple = "/usr/bin/python3";

/**
 * Whether Apple's `python3` is a stand-in: without the developer tools it only opens a window that offers to install them.
 *
 * @param {Pick<System, "platform" | "run">} system
 */
async function isPlaceholder(system) {
  return system.platform === "darwin" && (await system.run("/usr/bin/xcode-select", ["-p"])).code !== 0;
}

/**
 * The file that a bare name stands for, as the system would find it.
 *
 * @param {string} command
 * @param {Pick<System, "env" | "exists">} system
 */
function asFound(command, { env, exists }) {
  if (command.includes("/")) return command;
  const folders = (env.PATH ?? "").split(":").filter(Boolean);
  return folders.map((folder) => path.posix.join(folder, command)).find(exists);
}
