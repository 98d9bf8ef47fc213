// @ts-check
/**
 * Hands the lessons out into a student's work folder, and never takes anything from it.
 *
 * A record in the folder says which version was handed out under which name. A file that still has the bytes that were
 * handed out is ours to renew; any other is the student's, and a newer lesson comes beside it.
 */
import { constants, copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { remove, rename } from "../setup/patient-files.cjs";
import { samePath } from "../setup/same-path.cjs";
import { hashOf } from "../setup/stamp.mjs";
import { filesToHandOut } from "./lessons.mjs";
import { readRecord, writeRecord } from "./record.mjs";

/**
 * @param {string} originals  folder of the course's lessons
 * @param {string} folder  the student's work folder; made where it is missing
 * @returns {{ added: string[], renewed: string[], beside: { lesson: string, newVersion: string }[] }} what came in
 */
export function handOut(originals, folder) {
  mkdirSync(folder, { recursive: true });
  const record = readRecord(folder);
  /** @type {ReturnType<typeof handOut>} */
  const told = { added: [], renewed: [], beside: [] };
  for (const lesson of filesToHandOut(originals)) {
    const source = path.join(originals, lesson);
    const original = readFileSync(source);
    const newest = hashOf(original);
    const key = keyOf(record, lesson);
    record.lessons[key] ??= {};
    const known = record.lessons[key];
    const found = hashIn(folder, lesson);

    if (found === newest) {
      known.handedOut = newest;
    } else if (found === undefined && place(original, folder, lesson)) {
      known.handedOut = newest;
      told.added.push(lesson);
    } else if (found !== undefined && found === known.handedOut) {
      renew(original, folder, lesson);
      known.handedOut = newest;
      told.renewed.push(lesson);
    } else if (known.handedOut !== newest && known.offered?.hash !== newest) {
      const newVersion = offerBeside(original, folder, lesson, known.offered);
      known.offered = { hash: newest, name: newVersion };
      told.beside.push({ lesson, newVersion });
    }
    writeRecord(folder, record);
  }
  return told;
}

/**
 * A lesson's key in the record, which may have been written on another system, with its slashes, or where capitals are one.
 *
 * @param {import("./record.mjs").LessonRecord} record
 * @param {string} lesson
 */
function keyOf({ lessons }, lesson) {
  if (Object.hasOwn(lessons, lesson)) return lesson;
  return Object.keys(lessons).find((key) => samePath(key, lesson, "win32")) ?? lesson;
}

/**
 * The hash of what lies under a name; a folder or an unreadable file counts as something of the student's.
 *
 * @param {string} folder
 * @param {string} name
 */
function hashIn(folder, name) {
  const file = path.join(folder, name);
  if (!existsSync(file)) return undefined;
  try {
    return hashOf(readFileSync(file));
  } catch {
    return "not ours";
  }
}

/**
 * Writes a file only where none is.
 *
 * @param {Buffer} bytes
 * @param {string} folder
 * @param {string} name
 * @returns {boolean} false where something has the name already
 */
function place(bytes, folder, name) {
  const target = path.join(folder, name);
  return withDraft(bytes, target, (draft) => {
    try {
      copyFileSync(draft, target, constants.COPYFILE_EXCL);
      return true;
    } catch (error) {
      if (/** @type {NodeJS.ErrnoException} */ (error).code === "EEXIST") return false;
      throw error;
    }
  });
}

/**
 * Puts a newer version over one that the student has not touched, as one swap.
 *
 * @param {Buffer} bytes
 * @param {string} folder
 * @param {string} name
 */
function renew(bytes, folder, name) {
  const target = path.join(folder, name);
  withDraft(bytes, target, (draft) => rename(draft, target));
}

/**
 * Puts a newer version beside the student's own, over an earlier offer only where nobody has worked in that.
 *
 * @param {Buffer} bytes
 * @param {string} folder
 * @param {string} lesson
 * @param {{ hash: string, name: string } | undefined} earlier
 * @returns {string} the name it got
 */
function offerBeside(bytes, folder, lesson, earlier) {
  if (earlier && hashIn(folder, earlier.name) === earlier.hash) {
    renew(bytes, folder, earlier.name);
    return earlier.name;
  }
  const { dir, name, ext } = path.parse(lesson);
  for (let n = 1; ; n++) {
    const offer = path.join(dir, `${name} (new version${n === 1 ? "" : ` ${n}`})${ext}`);
    if (place(bytes, folder, offer)) return offer;
  }
}

/**
 * Writes a file aside first, so that a full disk or a pulled plug leaves no half a lesson under its name.
 *
 * @template T
 * @param {Buffer} bytes
 * @param {string} target
 * @param {(draft: string) => T} use
 */
function withDraft(bytes, target, use) {
  mkdirSync(path.dirname(target), { recursive: true });
  const draft = path.join(path.dirname(target), `.${path.basename(target)}.${process.pid}`);
  try {
    writeFileSync(draft, bytes);
    return use(draft);
  } finally {
    remove(draft);
  }
}
