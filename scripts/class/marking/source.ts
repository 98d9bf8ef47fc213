/** The source notebook of an assignment: with solutions, and with the checks that a student's copy does not hold. */
import type { Assignment, SetExercise } from "./assignments";
import type { Secret } from "./secret";

/**
 * @param secret  hidden variants of each exercise, and the word that stands beside points
 * @returns a notebook of format 4
 */
export function sourceNotebook({ name, title, intention, exercises }: Assignment, secret: Secret) {
  const cells = [
    text(`${name}-title`, `# ${title}\n\n${intention}\n\n${rules}`),
    code("seat", "const seat = 1; // your own number: neighbours get other rooms"),
    ...exercises.flatMap((one) => exerciseCells(one, secret)),
  ];
  return { cells, metadata, nbformat: 4, nbformat_minor: 5 };
}

const rules = `**How it goes.** For each exercise write a *function*: it gets the exercise, may measure and compute, and returns an answer. It is tried on your own room at once. For the marks it is tried on rooms that you have not seen: a number that fits one room is worth nothing there.

The function gets \`task\`, \`venue\`, \`positions\`, \`choices\`, \`microphonesLeft\` and \`measure\`. Try things out in cells of your own, with \`course.exercise("…", seat)\`. Cells that check can't be changed: whatever you write into them is put back before marking.`;

/** What the functions of all exercises may need. */
const imports = `import { course, decide, predict, show, venues } from "evenground";`;

function exerciseCells({ id, name, points, solution }: SetExercise, secret: Secret) {
  const body = solution.split("\n").map((line) => `  ${line}`);
  return [
    text(`${id}-title`, `## ${id}`),
    code(`${id}-task`, `${imports}\n\nshow(course.exercise("${id}", seat));`),
    code(
      `${id}-way`,
      [`const ${name} = (one) => {`, "  // BEGIN SOLUTION", ...body, "  // END SOLUTION", "};"].join("\n"),
      { solution: true },
    ),
    code(
      `${id}-own-room`,
      `import { course, show } from "evenground";\n\nconst ${name}Here = course.grade("${id}", [seat], ${name});\nshow(${name}Here);\n${name}Here.required();`,
      { grade: true, points: 0 },
    ),
    code(
      `${id}-other-rooms`,
      [
        "// Here the marks are given, in rooms that you have not seen.",
        "// BEGIN HIDDEN TESTS",
        'import { course, show } from "evenground";',
        "",
        `const ${name}Elsewhere = course.grade("${id}", ${JSON.stringify(secret.variants[id])}, ${name});`,
        `show(${name}Elsewhere);`,
        `console.log(${name}Elsewhere.points(${points}, "${secret.word}"));`,
        "// END HIDDEN TESTS",
      ].join("\n"),
      { grade: true, points },
    ),
  ];
}

const text = (id: string, source: string) => ({
  cell_type: "markdown",
  id,
  metadata: { nbgrader: nbgrader(id, "markdown", { locked: true }) },
  source,
});

/** What a cell is to nbgrader. */
interface Role {
  readonly solution?: boolean;
  readonly grade?: boolean;
  readonly locked?: boolean;
  readonly points?: number;
}

/** @param role  none: a cell that is the student's own */
const code = (id: string, source: string, role?: Role) => ({
  cell_type: "code",
  id,
  execution_count: null,
  metadata: role ? { nbgrader: nbgrader(id, "code", { ...role, locked: role.grade === true }) } : {},
  outputs: [],
  source,
});

const nbgrader = (id: string, type: string, role: Role) => ({
  schema_version: 3,
  grade_id: id,
  cell_type: type,
  task: false,
  ...{ solution: false, grade: false, locked: false, ...role },
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
