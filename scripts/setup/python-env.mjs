// @ts-check
/** A private virtual environment, filled from a lock in which every file's hash stands. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { findPython } from "./find-python.mjs";
import { tooDeep } from "./path-length.mjs";
import { remove } from "./patient-files.cjs";
import { inRoot, pythonOf } from "./places.mjs";
import { lastWords, run } from "./run.mjs";
import { SetupError } from "./setup-error.mjs";
import { hashOf, isStamped, writeStamp } from "./stamp.mjs";
import { step } from "./step.mjs";

/** Thrown where there is no Python to build on: the caller may have something else to offer. */
export class NoPython extends SetupError {}

/** For students: JupyterLab. */
export const courseEnvironment = {
  folder: inRoot(".venv"),
  lock: inRoot("scripts", "requirements", "course.txt"),
};
/** For recording alone: PortAudio. */
export const recordEnvironment = {
  folder: inRoot(".venv-record"),
  lock: inRoot("scripts", "requirements", "record.txt"),
};
/** For the course as static files: JupyterLite. */
export const siteEnvironment = {
  folder: inRoot(".venv-site"),
  lock: inRoot("scripts", "requirements", "site.txt"),
};
/** For checks and benchmarks only: the peers that the library is held against. */
export const peerEnvironment = {
  folder: inRoot(".venv-ci"),
  lock: inRoot("scripts", "requirements", "ci.txt"),
};

/**
 * Makes or mends a virtual environment where it is missing, stale or broken.
 *
 * @param {{ folder: string, lock: string }} environment
 * @param {string} title  what it is to the user, such as "JupyterLab"
 * @returns {Promise<string>} its Python
 */
export async function ensurePython({ folder, lock }, title) {
  const python = pythonOf(folder);
  const stampFile = path.join(folder, ".evenground-lock");
  const wanted = hashOf(readFileSync(lock));
  if (isStamped(stampFile, wanted) && (await run(python, ["-c", ""])).code === 0) return python;

  remove(stampFile);
  if ((await run(python, ["-m", "pip", "--version"])).code !== 0) {
    const base = await requirePython();
    const warning = tooDeep();
    if (warning) console.log(warning);
    await step(`a private Python environment (Python ${base.version})`, async () => {
      remove(folder);
      const made = await run(base.command, [...base.args, "-m", "venv", folder]);
      if (made.code !== 0) {
        throw new SetupError(`Python could not make a virtual environment:\n  ${lastWords(made.output)}`);
      }
    });
  }
  await step(title, (progress) => install(python, lock, progress));
  writeStamp(stampFile, wanted);
  return python;
}

async function requirePython() {
  const { python, tooOld, noVenv, placeholder } = await findPython();
  if (python) return python;
  if (noVenv) {
    throw new NoPython(
      `Python ${noVenv} is here but can't make virtual environments: install its venv package (Debian and Ubuntu: sudo apt install python3-venv), then run this again.`,
    );
  }
  if (tooOld) {
    throw new NoPython(
      `Python ${tooOld} is too old: install version 3.10 or newer from python.org, then run this again.`,
    );
  }
  throw new NoPython(
    `Python was not found${placeholder ? " (this Mac's python3 is a stand-in that only offers to install developer tools)" : ""}: install version 3.10 or newer from python.org, then run this again.`,
  );
}

/**
 * @param {string} python
 * @param {string} lock
 * @param {(text: string) => void} progress
 */
async function install(python, lock, progress) {
  const total = readFileSync(lock, "utf8").match(/^[a-z0-9].*==/gim)?.length ?? 0;
  let fetched = 0;
  // The lock names every package, so nothing is resolved; wheels only, so nothing is compiled or run while installing.
  const args = [
    "install",
    "--require-hashes",
    "--no-deps",
    "--only-binary",
    ":all:",
    "--no-input",
    "-r",
    lock,
  ];
  const { code, output } = await run(python, ["-m", "pip", ...args], {
    env: {
      ...process.env,
      PIP_DISABLE_PIP_VERSION_CHECK: "1",
      PIP_REQUIRE_VIRTUALENV: "0",
      PIP_USER: "0",
      PYTHONNOUSERSITE: "1",
    },
    onLine: (line) => {
      if (/^Collecting /.test(line)) progress(`fetching ${++fetched} of at most ${total}`);
      else if (/^Installing /.test(line)) progress("unpacking");
    },
  });
  if (code === 0) return;
  if (/do not match the hashes/i.test(output)) {
    throw new SetupError(
      "A Python package did not have the hash that the lock file expects: something changed it on the way. Try again on another network.",
    );
  }
  throw new SetupError(
    `The Python packages could not be installed: check the network connection (and free disk space), then run this again.\npip said:\n  ${lastWords(output)}`,
  );
}
