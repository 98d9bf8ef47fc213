// @ts-check
/** Where a student's work lies: chosen on the command line, by the environment, earlier, or `work/` in the repository. */
import {
  existsSync,
  lstatSync,
  mkdirSync,
  readFileSync,
  realpathSync,
  statSync,
  writeFileSync,
} from "node:fs";
import path from "node:path";
import { linkLibrary, linkPackage } from "../build/state.mjs";
import { linkFolder } from "../setup/links.mjs";
import { inRoot, root } from "../setup/places.mjs";
import { isBelow, samePath } from "../setup/same-path.cjs";
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

/** What notebooks import beside the library. */
const packages = ["danfojs-node", "mathjs"];

/**
 * Lets the notebooks of a folder outside the repository import what those inside can.
 *
 * @param {string} folder  an existing folder
 * @param {typeof linkFolder} [link]
 */
export function linkModules(folder, link = linkFolder) {
  if (isBelow(realpathSync(folder), realpathSync(root))) return;
  const modules = path.join(folder, "node_modules");
  const found = lstatSync(modules, { throwIfNoEntry: false });
  if (!found && link(inRoot("node_modules"), modules)) return;
  if (!found || found.isDirectory()) {
    // packages of the student's own stay
    for (const name of packages.filter((name) => !existsSync(path.join(modules, name))))
      linkPackage(inRoot("node_modules", name), path.join(modules, name), link);
    linkLibrary(modules, link);
  } else if (!existsSync(modules) || !samePath(realpathSync(modules), realpathSync(inRoot("node_modules")))) {
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
  const isTaken = (/** @type {string} */ one) =>
    samePath(folder, one) ||
    (existsSync(folder) && samePath(realpathSync(folder), one)) ||
    isBelow(folder, one);
  if (isBelow(root, folder) || samePath(folder, root) || taken.some((name) => isTaken(inRoot(name)))) {
    throw new SetupError(
      `The work folder can't be ${folder}, which belongs to the course: choose another one with --work FOLDER.`,
    );
  }
}
