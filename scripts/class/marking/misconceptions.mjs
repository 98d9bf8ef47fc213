// @ts-check
/** Which mistakes a class makes: counted from the lines that the hidden checks printed at marking. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";

/**
 * @typedef {{ exercise: string, misconception: string, students: number, answers: number }} Counted
 *
 * @param {string} autograded  nbgrader's folder of marked notebooks: STUDENT/ASSIGNMENT/NOTEBOOK
 * @returns {Counted[]} most students first
 */
export function countMisconceptions(autograded) {
  /** @type {Map<string, { exercise: string, misconception: string, who: Set<string>, answers: number }>} */
  const found = new Map();
  for (const student of foldersIn(autograded)) {
    for (const assignment of foldersIn(path.join(autograded, student))) {
      const folder = path.join(autograded, student, assignment);
      for (const file of readdirSync(folder).filter((name) => name.endsWith(".ipynb"))) {
        for (const { exercise, misconceptions } of recordsIn(path.join(folder, file))) {
          for (const misconception of misconceptions) {
            if (misconception === null) continue;
            const key = `${exercise} ${misconception}`;
            const counted = found.get(key) ?? { exercise, misconception, who: new Set(), answers: 0 };
            counted.who.add(student);
            counted.answers++;
            found.set(key, counted);
          }
        }
      }
    }
  }
  return [...found.values()]
    .map(({ who, ...rest }) => ({ ...rest, students: who.size }))
    .sort((a, b) => b.students - a.students || b.answers - a.answers || a.exercise.localeCompare(b.exercise));
}

/** @param {readonly Counted[]} counted */
export const misconceptionsCsv = (counted) =>
  [
    "exercise,misconception,students,answers",
    ...counted.map((c) => `${c.exercise},${c.misconception},${c.students},${c.answers}`),
  ].join("\n");

/**
 * @param {string} file
 * @returns {{ exercise: string, misconceptions: (string | null)[] }[]}
 */
function recordsIn(file) {
  const { cells } = JSON.parse(readFileSync(file, "utf8"));
  return cells.flatMap((/** @type {any} */ cell) => {
    const source = [cell.source].flat().join("");
    const word = /\.points\([\d.]+, "([0-9a-f]+)"\)/.exec(source)?.[1];
    if (!word || !cell.metadata?.nbgrader?.grade) return [];
    const printed = cell.outputs.map((/** @type {any} */ o) => [o.text ?? ""].flat().join("")).join("\n");
    const line = new RegExp(`^points [\\d.]+ of [\\d.]+ ${word} (.*)$`, "m").exec(printed);
    return line ? [JSON.parse(line[1])] : [];
  });
}

/** @param {string} folder */
const foldersIn = (folder) =>
  existsSync(folder)
    ? readdirSync(folder, { withFileTypes: true })
        .filter((entry) => entry.isDirectory() && !entry.name.startsWith("."))
        .map((entry) => entry.name)
    : [];
