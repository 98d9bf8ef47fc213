import { mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import * as library from "../../lib";
import { assignments } from "../../scripts/class/marking/assignments";
import { countMisconceptions, misconceptionsCsv } from "../../scripts/class/marking/misconceptions";
import { secretOf, workedWay } from "../../scripts/class/marking/secret";
import { sourceNotebook } from "../../scripts/class/marking/source";

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "grading "));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Cell {
  readonly source: string;
  readonly metadata: { readonly nbgrader?: { readonly [key: string]: unknown } };
}
const word = "abc123";
const secret = (exercises: readonly { id: string }[]) => ({
  word,
  variants: Object.fromEntries(exercises.map(({ id }) => [id, [4711, 815, 4242]])),
});

describe("an assignment's source notebook", () => {
  it("keeps each solution between marks, and each hidden room and the secret word between others", () => {
    for (const assignment of assignments) {
      const { cells } = sourceNotebook(assignment, secret(assignment.exercises)) as { cells: Cell[] };
      for (const { source, metadata } of cells) {
        const visible = source
          .replace(/\/\/ BEGIN SOLUTION[\s\S]*\/\/ END SOLUTION/, "")
          .replace(/\/\/ BEGIN HIDDEN TESTS[\s\S]*\/\/ END HIDDEN TESTS/, "");
        expect(visible).not.toMatch(/4711|815|4242|abc123|return (\w+\(|\[|\{)/);
        if (metadata.nbgrader?.solution) expect(source).toMatch(/BEGIN SOLUTION/);
      }
    }
  });

  it("gives each of its cells a name of its own and locks all that check", () => {
    for (const assignment of assignments) {
      const { cells } = sourceNotebook(assignment, secret(assignment.exercises)) as { cells: Cell[] };
      const marked = cells.flatMap((cell) => (cell.metadata.nbgrader ? [cell.metadata.nbgrader] : []));
      expect(new Set(marked.map((m) => m.grade_id)).size).toBe(marked.length);
      for (const one of marked.filter((m) => m.grade)) expect(one.locked).toBe(true);
      const points = marked.reduce((sum, m) => sum + Number(m.points ?? 0), 0);
      expect(points).toBe(assignment.exercises.reduce((s: number, e: { points: number }) => s + e.points, 0));
    }
  });
});

describe("a worked solution", () => {
  it("passes in a room that it was not written for", () => {
    for (const { exercises } of assignments) {
      for (const one of exercises)
        expect(library.course.grade(one.id, [12], workedWay(one)).passed, one.id).toBe(true);
    }
  }, 60_000);
});

describe("the secret of an assignment", () => {
  it("is drawn once, is readable by its owner alone, and holds no room that one answer fits all", () => {
    const one = { name: "little", exercises: [assignments[0].exercises[0]] };
    const drawn = secretOf(folder, one);
    expect(secretOf(folder, one)).toEqual(drawn);
    if (process.platform !== "win32") expect(statSync(path.join(folder, "secret.json")).mode & 0o077).toBe(0);
    const rooms = drawn.variants["cellar-level"];
    expect(new Set(rooms).size).toBe(3);
    const [first] = rooms.map((room: number) => {
      const it = library.course.exercise("cellar-level", room);
      it.check(0);
      return it.solution().answer;
    });
    expect(library.course.grade("cellar-level", rooms, () => first).passed).toBe(false);
  }, 60_000);
});

describe("the table of mistakes", () => {
  const marked = (student: string, misconceptions: (string | null)[], printedWord = word) => {
    const position = path.join(folder, "autograded", student, "one");
    mkdirSync(position, { recursive: true });
    const record = JSON.stringify({ exercise: "cellar-level", misconceptions });
    const cell = {
      cell_type: "code",
      metadata: { nbgrader: { grade: true } },
      source: [`console.log(x.points(4, "${word}"));`],
      outputs: [
        { output_type: "stream", name: "stdout", text: [`points 1 of 4 ${printedWord} ${record}\n`] },
      ],
    };
    writeFileSync(path.join(position, "one.ipynb"), JSON.stringify({ cells: [cell] }));
  };

  it("counts students and answers, most students first, and no line without the secret word", () => {
    marked("a", ["left as it was", "left as it was", null]);
    marked("b", ["left as it was", "front row decides", null]);
    marked("c", ["front row decides", "front row decides", "front row decides"], "guessed");
    const counted = countMisconceptions(path.join(folder, "autograded"));
    expect(misconceptionsCsv(counted).split("\n")).toEqual([
      "exercise,misconception,students,answers",
      "cellar-level,left as it was,2,3",
      "cellar-level,front row decides,1,1",
    ]);
  });

  it("is empty before anything was marked", () => {
    expect(countMisconceptions(path.join(folder, "nowhere"))).toEqual([]);
  });
});
