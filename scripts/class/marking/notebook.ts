/** The notebook of an assignment, as it is handed out; and the student's own cells of one that came back. */
import { readPlainFile, textOf } from "../../../lib/files/read";
import type { Assignment, SetExercise } from "./assignments";

/** @returns a notebook of format 4 */
export function studentNotebook({ name, title, intention, exercises }: Assignment) {
  const cells = [
    text(`${name}-title`, `# ${title}\n\n${intention}\n\n${rules}`),
    code("seat", "const seat = 1; // your own number: neighbours get other rooms"),
    ...exercises.flatMap(exerciseCells),
  ];
  return { cells, metadata, nbformat: 4, nbformat_minor: 5 };
}

const rules = `**How it goes.** For each exercise write a *function*: it gets the exercise, may measure and compute, and returns an answer. It is tried on your own room at once. For the marks it is tried on rooms that you have not seen: a number that fits one room is worth nothing there.

The function gets \`task\`, \`venue\`, \`positions\`, \`choices\`, \`microphonesLeft\` and \`measure\`. Try things out in cells of your own, with \`course.exercise("…", seat)\`. For the marks your functions run in a room of their own: without network and files, 20 seconds each.`;

/** What the functions of all exercises may need. */
const imports = `import { course, decide, predict, show, venues } from "evenground";`;

function exerciseCells({ id, name, points }: SetExercise) {
  const count = points === 1 ? "1 point" : `${points} points`;
  return [
    text(`${id}-title`, `## ${id}\n\n${count}, given in rooms that you have not seen.`),
    code(`${id}-task`, `${imports}\n\nshow(course.exercise("${id}", seat));`),
    code(
      `${id}-way`,
      `const ${name} = (one) => {\n  // YOUR CODE HERE\n  throw new Error("nothing is written here yet");\n};`,
    ),
    code(
      `${id}-own-room`,
      `import { course, show } from "evenground";\n\nconst ${name}Here = course.grade("${id}", [seat], ${name});\nshow(${name}Here);\n${name}Here.required();`,
      // A grade in nbgrader's words, so that its button Validate runs the cell; points are given elsewhere.
      { deletable: false, editable: false, nbgrader: nbgrader(`${id}-own-room`) },
    ),
  ];
}

const text = (id: string, source: string) => ({
  cell_type: "markdown",
  id,
  metadata: { deletable: false, editable: false },
  source,
});

const code = (id: string, source: string, own: object = {}) => ({
  cell_type: "code",
  id,
  execution_count: null,
  metadata: own,
  outputs: [],
  source,
});

const nbgrader = (id: string) => ({
  schema_version: 3,
  grade_id: id,
  cell_type: "code",
  task: false,
  solution: false,
  grade: true,
  locked: true,
  points: 0,
});

const metadata = {
  kernelspec: { display_name: "TypeScript", language: "typescript", name: "tslab" },
  language_info: {
    codemirror_mode: { mode: "typescript", name: "javascript", typescript: true },
    file_extension: ".ts",
    mimetype: "text/typescript",
    name: "typescript",
    version: "5.0.4",
  },
};

/** Bytes of a notebook, and code cells that are run, far beyond honest ones. */
export const largest = 20e6;
const mostCells = 300;

/**
 * The code cells of a notebook that somebody handed in, without the checks of ours.
 *
 * @throws Error in a sentence when it is no notebook
 */
export function ownCells(file: string): string[] {
  const content = parsed(textOf(readPlainFile(file, largest)));
  const { cells } = content as { cells?: unknown };
  if (!Array.isArray(cells)) throw new Error("is no notebook: it has no cells");
  const own = cells.filter(isCode).filter(({ metadata }) => metadata?.nbgrader?.grade !== true);
  if (own.length > mostCells) throw new Error(`has ${own.length} cells, expected at most ${mostCells}`);
  return own.map(({ source }) => (Array.isArray(source) ? source.map(String).join("") : String(source)));
}

function parsed(text: string): object {
  try {
    return Object(JSON.parse(text));
  } catch {
    throw new Error("is no notebook: it can't be read as JSON");
  }
}

interface CodeCell {
  readonly source: unknown;
  readonly metadata?: { readonly nbgrader?: { readonly grade?: unknown } | null } | null;
}
const isCode = (cell: unknown): cell is CodeCell =>
  typeof cell === "object" && cell !== null && "source" in cell && Reflect.get(cell, "cell_type") === "code";
