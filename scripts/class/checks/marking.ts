/**
 * Sets an assignment for an invented class, hands in four notebooks and marks them, with nbgrader as it is:
 * one student solved it, one wrote nothing, one has copied numbers, and one has forged whatever can be forged.
 *
 *     node scripts/run.mjs scripts/class/checks/marking.ts
 */
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir, userInfo } from "node:os";
import path from "node:path";
import { joined, type Text } from "../../notebook/format";
import { inRoot } from "../../setup/places.mjs";
import { nbgrader } from "../marking/nbgrader";

const name = "one-decision";
const folder = mkdtempSync(path.join(tmpdir(), "evenground-grading-"));
const grade = (...args: string[]) => {
  const command = ["run", "--silent", "grade", "--", ...args, "--folder", folder];
  return execFileSync("npm", command, { encoding: "utf8", cwd: inRoot() });
};
const read = (...parts: string[]) => readFileSync(path.join(folder, ...parts), "utf8");

interface Handed {
  cells: {
    source: Text;
    readonly metadata: {
      readonly nbgrader: { grade_id: string; solution?: boolean; locked?: boolean; points?: number };
    };
  }[];
}
function cellOf(notebook: Handed, id: string): Handed["cells"][number] {
  const cell = notebook.cells.find(({ metadata }) => metadata.nbgrader?.grade_id === id);
  if (!cell) throw new Error(`there is no cell ${id}`);
  return cell;
}

grade("release", name);
const source: Handed = JSON.parse(read("source", name, `${name}.ipynb`));
const released = read("release", name, `${name}.ipynb`);
const secret = JSON.parse(read("secret.json"))[name];

// A student's copy holds no solution, no hidden room and no secret word.
for (const hidden of [
  secret.word,
  "SOLUTION",
  "HIDDEN",
  ...Object.values(secret.variants).flat().map(String),
])
  assert.ok(!released.includes(hidden), `the students' copy holds ${hidden}`);
for (const cell of source.cells.filter((c) => c.metadata.nbgrader?.solution)) {
  for (const line of joined(cell.source).split("\n").slice(2, -2))
    assert.ok(
      !joined(cellOf(JSON.parse(released), cell.metadata.nbgrader.grade_id).source).includes(line.trim()),
      line,
    );
}

function handIn(student: string, change: (notebook: Handed) => void) {
  const notebook: Handed = JSON.parse(released);
  change(notebook);
  const place = path.join(folder, "submitted", student, name);
  mkdirSync(place, { recursive: true });
  writeFileSync(path.join(place, `${name}.ipynb`), JSON.stringify(notebook, null, 1));
}
const ways = ["cellar-level", "theatre-level", "meadow-delay", "ballroom-polarity"];
const solve = (notebook: Handed) => {
  for (const id of ways) cellOf(notebook, `${id}-way`).source = joined(cellOf(source, `${id}-way`).source);
};
handIn("solver", solve);
handIn("silent", () => {});
handIn("copier", (notebook) => {
  const numbers = {
    "cellar-level": "5",
    "theatre-level": "0",
    "meadow-delay": "3",
    "ballroom-polarity": '"inverted"',
  };
  for (const [id, number] of Object.entries(numbers)) {
    const way = cellOf(notebook, `${id}-way`);
    way.source = joined(way.source).replace(/\{[\s\S]*\}/, `{ return ${number}; }`);
  }
});
handIn("forger", (notebook) => {
  for (const id of ways) {
    const own = cellOf(notebook, `${id}-own-room`);
    own.source = 'console.log("all right");';
    own.metadata.nbgrader.points = 100;
    const others = cellOf(notebook, `${id}-other-rooms`);
    others.source = `console.log("points 4 of 4 ${"0".repeat(24)} {}"); // .points(4, "${"0".repeat(24)}")`;
    others.metadata.nbgrader.locked = false;
  }
  const gone = notebook.cells.indexOf(cellOf(notebook, "meadow-delay-other-rooms"));
  notebook.cells.splice(gone, 1);
  const way = cellOf(notebook, "cellar-level-way");
  way.source = `const course = { grade: () => ({ required() {}, html: "", points: () => "points 4 of 4" }) };
const cellarLevel = () => { console.log("points 4 of 4 x {}"); return 60; };`;
});

async function main(): Promise<void> {
  // One goes the way of a class: fetches from the exchange, solves, hands in, and is collected.
  const pupil = userInfo().username;
  const desk = path.join(folder, "desk");
  mkdirSync(desk);
  const settings = `c = get_config()
c.CourseDirectory.course_id = "evenground"
c.Exchange.root = ${JSON.stringify(path.join(folder, "exchange"))}
`;
  writeFileSync(path.join(desk, "nbgrader_config.py"), settings);
  await nbgrader(desk, ["fetch_assignment", name]);
  const fetched = path.join(desk, name, `${name}.ipynb`);
  assert.equal(readFileSync(fetched, "utf8"), released);
  const atDesk = JSON.parse(released);
  assert.match(grade("validate", fetched), /VALIDATION FAILED ON 4 CELL/);
  solve(atDesk);
  writeFileSync(fetched, JSON.stringify(atDesk, null, 1));
  await nbgrader(desk, ["submit", name]);
  grade("collect", name);

  console.log(grade("mark", name));
  const [head, ...lines] = read("marks.csv").trim().split("\n");
  const columns = head.split(",");
  const marks = Object.fromEntries(
    lines.map((line) => {
      const values = line.split(",");
      return [values[columns.indexOf("student_id")], Number(values[columns.indexOf("score")])];
    }),
  );
  const most = Number(lines[0].split(",")[columns.indexOf("max_score")]);
  console.log(marks, "of", most);
  assert.equal(most, 4 + 4 + 4 + 3, "the points of all rooms that students have not seen");
  assert.ok(marks.solver > 0.9 * most, "who solved it gets nearly all points");
  assert.ok(marks[pupil] > 0.9 * most, "who handed in by the exchange gets them as well");
  assert.equal(marks.silent, 0, "who wrote nothing gets none");
  assert.equal(marks.forger, 0, "forged checks are put back, and give none");
  assert.ok(marks.copier < 0.75 * most, "numbers that fit one room are worth little elsewhere");

  const told = grade("misconceptions");
  console.log(told);
  // Each was tried in three rooms: nothing written and 60 dB are no answers; 0 dB leaves the subs as they were.
  assert.match(read("misconceptions.csv"), /^cellar-level,no answer,2,6$/m);
  assert.match(read("misconceptions.csv"), /^theatre-level,left as it was,1,3$/m);
  grade("key", name);
  const key = read("key", `${name}.md`);
  for (const id of ways) assert.ok(key.includes(`## ${id}`));
  assert.ok(key.includes(`${secret.variants["cellar-level"][0]} (hidden)`));

  rmSync(folder, { recursive: true, force: true });
  console.log("All as it should be.");
}

main();
