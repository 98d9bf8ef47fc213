/** Which mistakes a class makes: counted from the lines that the hidden checks printed at marking. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { joined, type Notebook } from "../../notebook/format";

export interface Counted {
  readonly exercise: string;
  readonly misconception: string;
  readonly students: number;
  readonly answers: number;
}

/**
 * @param autograded  nbgrader's folder of marked notebooks: STUDENT/ASSIGNMENT/NOTEBOOK
 * @returns most students first
 */
export function countMisconceptions(autograded: string): Counted[] {
  if (!existsSync(autograded)) return [];
  const found = new Map<string, Omit<Counted, "students"> & { readonly who: Set<string> }>();
  const notebooks = readdirSync(autograded, { recursive: true, encoding: "utf8" }).filter((file) =>
    /^[^.][^/\\]*[/\\][^.][^/\\]*[/\\][^/\\]*\.ipynb$/.test(file),
  );
  for (const file of notebooks) {
    const [student] = file.split(path.sep);
    for (const { exercise, misconceptions } of recordsIn(path.join(autograded, file))) {
      for (const misconception of misconceptions.flatMap((one) => one ?? [])) {
        const key = `${exercise} ${misconception}`;
        const { answers, who } = found.get(key) ?? { answers: 0, who: new Set<string>() };
        found.set(key, { exercise, misconception, answers: answers + 1, who: who.add(student) });
      }
    }
  }
  return [...found.values()]
    .map(({ who, ...rest }) => ({ ...rest, students: who.size }))
    .sort((a, b) => b.students - a.students || b.answers - a.answers || a.exercise.localeCompare(b.exercise));
}

export const misconceptionsCsv = (counted: readonly Counted[]) =>
  [
    "exercise,misconception,students,answers",
    ...counted.map((c) => `${c.exercise},${c.misconception},${c.students},${c.answers}`),
  ].join("\n");

interface Printed {
  readonly exercise: string;
  readonly misconceptions: readonly (string | null)[];
}

function recordsIn(file: string): Printed[] {
  const { cells }: Notebook = JSON.parse(readFileSync(file, "utf8"));
  return cells.flatMap(({ source, metadata, outputs }) => {
    const word = /\.points\([\d.]+, "([0-9a-f]+)"\)/.exec(joined(source))?.[1];
    if (!word || !metadata?.nbgrader?.grade) return [];
    const printed = outputs.map(({ text }) => joined(text)).join("\n");
    const line = new RegExp(`^points [\\d.]+ of [\\d.]+ ${word} (.*)$`, "m").exec(printed);
    return line ? [JSON.parse(line[1])] : [];
  });
}
