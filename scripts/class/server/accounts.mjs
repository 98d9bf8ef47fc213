// @ts-check
/** An account of this machine for each student, so that the system itself keeps their files apart. */
import { execFileSync, spawnSync } from "node:child_process";
import { chmodSync, chownSync, mkdirSync, realpathSync } from "node:fs";
import path from "node:path";
import { pythonOf, root } from "../../setup/places.mjs";
import { SetupError } from "../../setup/setup-error.mjs";
import { layOut } from "./exchange.mjs";

/**
 * Makes the class's folders, and accounts where they are missing; an account that is not of this class is never used.
 *
 * @param {import("./options.mjs").ClassOptions} options
 */
export function ensureAccounts({ students, teacher, folder, oneAccount }) {
  mkdirSync(path.join(folder, "state"), { recursive: true });
  // Passwords, cookies and the hub's own data.
  chmodSync(path.join(folder, "state"), 0o700);
  const homes = path.join(folder, "work");
  mkdirSync(homes, { recursive: true });
  layOut(path.join(folder, "exchange"));
  for (const name of [teacher, ...students]) {
    const home = path.join(homes, name);
    if (oneAccount) mkdirSync(home, { recursive: true, mode: 0o700 });
    else ensureAccount(name, home);
  }
}

/**
 * @param {string} name
 * @param {string} home
 */
function ensureAccount(name, home) {
  const found = spawnSync("getent", ["passwd", name], { encoding: "utf8" });
  if (found.status === 0) {
    if (found.stdout.split(":")[5] !== home) {
      throw new SetupError(
        `${name} is an account of this machine that does not belong to the class: give that student another name.`,
      );
    }
  } else {
    const args = [
      "--home-dir",
      home,
      "--no-create-home",
      "--user-group",
      "--shell",
      "/usr/sbin/nologin",
      name,
    ];
    const made = spawnSync("useradd", args, { encoding: "utf8" });
    if (made.status !== 0)
      throw new SetupError(`No account could be made for ${name}: ${made.stderr?.trim()}`);
  }
  mkdirSync(home, { recursive: true });
  chownSync(home, numberOf(name, "-u"), numberOf(name, "-g"));
  chmodSync(home, 0o700);
}

/**
 * The numbers of the class's accounts; none where everybody shares the teacher's own.
 *
 * @param {import("./options.mjs").ClassOptions} options
 */
export function accountsOf({ students, teacher, oneAccount }) {
  return oneAccount ? [] : [teacher, ...students].map((name) => numberOf(name, "-u"));
}

/**
 * @param {string} name
 * @param {string} what  of the account
 */
const numberOf = (name, what) => Number(execFileSync("id", [what, name], { encoding: "utf8" }));

/**
 * Holds that a student's account can read the course and run what it runs on, wherever these lie.
 *
 * @param {import("./options.mjs").ClassOptions} options
 * @param {string} environment  the class's virtual environment
 */
export function requireReadable({ students, folder }, environment) {
  const [name] = students;
  if (!name) return;
  // By way of a shell: setpriv itself still opens the first program with root's rights.
  const can = (/** @type {string} */ command, /** @type {string} */ place) =>
    spawnSync("setpriv", asStudent(name, ["/bin/sh", "-c", command, place])).status === 0;
  for (const place of [path.join(root, "dist", "index.js"), path.join(folder, "work", name)]) {
    if (can('test -r "$0"', place)) continue;
    throw new SetupError(
      `Students' accounts can't reach ${place}: put the course where everyone may read it, such as /opt/evenground, and the class's folder where everyone may pass, with --folder /srv/class.`,
    );
  }
  const python = pythonOf(environment);
  for (const [program, remedy] of [
    [process.execPath, "install Node.js for every account of the machine"],
    [python, `name one that everyone can run in EVENGROUND_PYTHON, remove ${environment} and start again`],
  ]) {
    if (can('exec "$0" --version', program)) continue;
    throw new SetupError(`Students' accounts can't run ${realpathSync(program)}: ${remedy}.`);
  }
}

/**
 * Arguments of setpriv for a command under a student's account.
 *
 * @param {string} name
 * @param {string[]} command
 */
export const asStudent = (name, command) => [
  `--reuid=${name}`,
  `--regid=${name}`,
  "--init-groups",
  "--reset-env",
  ...command,
];
