// @ts-check
/** Names that are added to the class list while the class is open. */
import { unwatchFile, watchFile } from "node:fs";
import { studentsIn } from "./options.mjs";

/**
 * Looks at the list every two seconds, and lets those in who are new on it. Who is taken off it stays until the next start.
 *
 * @param {{ list: string, students: string[], teacher: string }} options  `students` grows
 * @param {() => void} letIn  makes accounts and passwords of all that are in `students`
 * @returns {{ end: () => void }}
 */
export function whileOpen({ list, students, teacher }, letIn) {
  const look = () => {
    const before = students.length;
    try {
      const added = studentsIn(list).filter((name) => name !== teacher && !students.includes(name));
      if (added.length === 0) return;
      students.push(...added);
      letIn();
      console.log(`New in the class: ${added.join(", ")}.`);
    } catch (error) {
      students.length = before;
      console.error(`The class goes on as it was. ${/** @type {Error} */ (error).message}`);
    }
  };
  watchFile(list, { interval: 2000 }, look);
  return { end: () => unwatchFile(list, look) };
}
