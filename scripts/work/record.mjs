// @ts-check
/** The record of what was handed out, kept in the work folder so that it moves with it. */
import { readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { rename } from "../setup/patient-files.cjs";

const name = ".evenground-lessons.json";

/**
 * @typedef {{ handedOut?: string, offered?: { hash: string, name: string } }} Handed  hashes of the version that lies under
 *   the lesson's own name as far as it is ours, and of the newest one that was put beside a changed one
 * @typedef {{ lessons: Record<string, Handed> }} LessonRecord
 */

/**
 * @param {string} folder
 * @returns {LessonRecord} an empty one where there is none or it can't be read: then every differing file is the student's
 */
export function readRecord(folder) {
  try {
    const { lessons } = JSON.parse(readFileSync(path.join(folder, name), "utf8"));
    const entries = Object.entries(lessons).filter(([, value]) => value && typeof value === "object");
    return { lessons: Object.fromEntries(entries) };
  } catch {
    return { lessons: {} };
  }
}

/**
 * @param {string} folder
 * @param {LessonRecord} record
 */
export function writeRecord(folder, record) {
  const draft = path.join(folder, `${name}.${process.pid}`);
  writeFileSync(draft, `${JSON.stringify(record, null, 2)}\n`);
  rename(draft, path.join(folder, name));
}
