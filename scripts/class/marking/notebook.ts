/** The notebook of an assignment, as it is handed out; and the student's own cells of one that came back. */
import { readPlainFile, textOf } from "../../../lib/files/read";
import { formOf } from "../../../lib/lesson/exercises/form/form";
import { type Assignment, reasons, type SetExercise } from "./assignments";
import { FORM_COUNTS } from "./credit";
import { ROOMS } from "./rooms";

/** @returns a notebook of format 4 */
export function studentNotebook({ name, title, intention, exercises }: Assignment) {
  const cells = [
    text(`${name}-title`, `# ${title}\n\n${intention}\n\n${rules}`),
    code("seat", "const seat = 1; // your own number: neighbours get other rooms"),
    ...exercises.flatMap(exerciseCells),
    ...reasonsCells(),
  ];
  return { cells, metadata, nbformat: 4, nbformat_minor: 5 };
}

const rules = `**How it goes.** For each exercise say *how* you decide, in one of two ways. Either fill in the *form*: where to measure, and what to decide by, a line each. Or alter the *function* below it: it gets the exercise, may measure and compute, and returns an answer. Both are whole, and decide badly. Whichever you change is tried on your own room at once, and for the marks on ${ROOMS} rooms that you have not seen. Change both, and the better one counts.

An answer that is the same in every room earns nothing: credit begins where the best of such answers ends. A form counts from ${100 * FORM_COUNTS} of 100 on, since its lines can be guessed; a function counts in part. Commas don't matter in the form; one that is missing in a function is put in.

The function gets \`task\`, \`venue\`, \`positions\`, \`choices\`, \`microphonesLeft\` and \`measure\`. Try things out in cells of your own, with \`course.exercise("…", seat)\`. For the marks your functions run in a room of their own: without network and files, 20 seconds each.`;

/** What the functions of all exercises may need. */
const imports = `import { course, decide, predict, show, venues } from "evenground";`;

function exerciseCells({ id, name, points, standIn }: SetExercise) {
  const count = points === 1 ? "1 point" : `${points} points`;
  return [
    text(`${id}-title`, `## ${id}\n\n${count}, given in rooms that you have not seen.`),
    code(`${id}-task`, `${imports}\n\nshow(course.exercise("${id}", seat));`),
    ...waysOf({ id, name, standIn }).map(({ cell, source }) => code(cell, source)),
    code(
      `${id}-own-room`,
      `import { course, show } from "evenground";

const ${name}Tried = [${name}Form, ${name}].map((way) => course.grade("${id}", [seat], way));
${name}Tried.forEach((tried) => show(tried));
[...${name}Tried].sort((a, b) => b.score - a.score)[0].required();`,
      // A grade in nbgrader's words, so that its button Validate runs the cell; points are given elsewhere.
      { deletable: false, editable: false, nbgrader: nbgrader(`${id}-own-room`) },
    ),
  ];
}

/** The cells in which a student says how to decide: the form and the function. */
export function waysOf({ id, name, standIn }: Pick<SetExercise, "id" | "name" | "standIn">) {
  const lines = (formOf(id) ?? []).map((line) => {
    const may = typeof line.choices === "string" ? "" : `// ${line.key}: ${line.choices.join(" | ")}\n`;
    return { may, filled: `${line.key}: ${line.standIn}` };
  });
  return [
    {
      way: `${name}Form`,
      cell: `${id}-form`,
      source: `// The form: change what stands behind the colons.
${lines.map(({ may }) => may).join("")}const ${name}Form = course.form("${id}", \`
${lines.map(({ filled }) => filled).join("\n")}
\`);
console.log(${name}Form.words);`,
    },
    {
      way: name,
      cell: `${id}-way`,
      source: `// The function: alter it, if you would rather program.
const ${name} = (one) => {
${standIn.replace(/^/gm, "  ")}
};`,
    },
  ];
}

/** Read by a person: a question, what earns points, and a cell to write in. */
function reasonsCells() {
  const lines = reasons.rubric.map(([, says]) => `* 1 point: ${says};`).join("\n");
  const own = { schema_version: 3, grade_id: REASONS, cell_type: "markdown", task: false };
  return [
    text(
      "reasons-title",
      `## In your own words\n\n**${reasons.question}** Write to a colleague who takes over tomorrow, in a hundred words or so, about one of the rooms above. Your teacher reads it.\n\n${lines.replace(/;$/, ".")}`,
    ),
    {
      cell_type: "markdown",
      id: REASONS,
      metadata: {
        deletable: false,
        nbgrader: { ...own, solution: true, grade: true, locked: false, points: reasons.rubric.length },
      },
      source: NOTHING_WRITTEN,
    },
  ];
}

const REASONS = "reasons";
const NOTHING_WRITTEN = "*Double-click here and write.*";

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
  const own = cellsOf(file)
    .filter(isCode)
    .filter(({ metadata }) => metadata?.nbgrader?.grade !== true);
  if (own.length > mostCells) throw new Error(`has ${own.length} cells, expected at most ${mostCells}`);
  return own.map(({ source }) => sourceOf(source));
}

/** What a student wrote for a person to read; nothing where they wrote nothing. */
export function reasonsIn(file: string): string {
  const cell = cellsOf(file).find(
    (each) => Object(each).id === REASONS && Object(each).cell_type === "markdown",
  );
  const written = sourceOf(Object(cell).source ?? "")
    .trim()
    .slice(0, MOST_READ);
  return written === NOTHING_WRITTEN ? "" : written;
}

/** Letters that a teacher is asked to read. */
const MOST_READ = 5000;

function cellsOf(file: string): readonly unknown[] {
  const { cells } = parsed(textOf(readPlainFile(file, largest))) as { cells?: unknown };
  if (!Array.isArray(cells)) throw new Error("is no notebook: it has no cells");
  return cells;
}

const sourceOf = (source: unknown): string =>
  Array.isArray(source) ? source.map(String).join("") : String(source);

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
