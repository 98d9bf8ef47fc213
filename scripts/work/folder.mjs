// @ts-check
/** Where a student's work lies: chosen on the command line, by the environment, earlier, or `work/` in the repository. */
import {
  existsSync,
  lstatSync,
  mkdirSync,
  readFileSync,
  realpathSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import path from "node:path";
import { linkPackage } from "../build/state.mjs";
import { inRoot, root } from "../setup/places.mjs";
import { SetupError } from "../setup/setup-error.mjs";

const choiceFile = inRoot(".jupyter", "work-folder.txt");

/**
 * @param {string | undefined} asked  what the command line says; kept for the next start
 * @returns {string} an absolute path
 */
export function workFolder(asked) {
  // npm runs a script in the repository; a relative path is meant from where the user stands.
  const here = process.env.INIT_CWD ?? process.cwd();
  const chosen =
    asked ??
    process.env.EVENGROUND_WORK ??
    (existsSync(choiceFile) ? readFileSync(choiceFile, "utf8").trim() : "");
  const folder = chosen ? path.resolve(here, chosen) : inRoot("work");
  requireOwnFolder(folder);
  if (asked !== undefined) {
    mkdirSync(path.dirname(choiceFile), { recursive: true });
    writeFileSync(choiceFile, `${folder}\n`);
  }
  return folder;
}

/**
 * Lets the notebooks of a folder outside the repository import what those inside can.
 *
 * @param {string} folder  an existing folder
 */
export function linkModules(folder) {
  if (isBelow(realpathSync(folder), realpathSync(root))) return;
  const modules = path.join(folder, "node_modules");
  const found = lstatSync(modules, { throwIfNoEntry: false });
  if (!found) symlinkSync(inRoot("node_modules"), modules, "junction");
  else if (found.isDirectory()) linkPackage(modules);
  else if (!existsSync(modules) || realpathSync(modules) !== realpathSync(inRoot("node_modules"))) {
    throw new SetupError(
      `${modules} points to another place than this course's packages: remove that link, then start again.`,
    );
  }
}

/** @param {string} folder */
function requireOwnFolder(folder) {
  if (existsSync(folder) && !statSync(folder).isDirectory()) {
    throw new SetupError(`The work folder ${folder} is a file: choose another one with --work FOLDER.`);
  }
  const taken = [".git", ".venv", ".jupyter", "notebooks", "node_modules", "dist", "lib", "scripts", "tests"];
  if (
    folder === root ||
    isBelow(root, folder) ||
    taken.some((name) => folder === inRoot(name) || isBelow(folder, inRoot(name)))
  ) {
    throw new SetupError(
      `The work folder can't be ${folder}, which belongs to the course: choose another one with --work FOLDER.`,
    );
  }
}

/**
 * @param {string} inner
 * @param {string} outer
 */
function isBelow(inner, outer) {
  const way = path.relative(outer, inner);
  return way !== "" && !way.startsWith("..") && !path.isAbsolute(way);
}
