/**
 * Sets an assignment for an invented class and marks it: one student solved it, one wrote nothing, one guesses, and as many as there are
 * cheats guess the same and try for more.
 *
 *     node scripts/run.mjs scripts/class/checks/marking.ts
 */
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir, userInfo } from "node:os";
import path from "node:path";
import { inRoot, root } from "../../setup/places.mjs";
import { assignments } from "../marking/assignments";
import { markEach } from "../marking/mark-each";
import { type MarkedAssignment, type MarkedNotebook, pointsOf } from "../marking/marks";
import { drawRooms } from "../marking/rooms";
import { byPermissions, byUserNamespace, holds } from "../sandbox/sandbox";
import { cheatsAgainst } from "./cheats";

const name = "one-decision";
const [{ exercises }] = assignments;
const folder = mkdtempSync(path.join(tmpdir(), "evenground-grading-"));
const grade = (...args: string[]) =>
  execFileSync("npm", ["run", "--silent", "grade", "--", ...args, "--folder", folder], {
    encoding: "utf8",
    cwd: inRoot(),
  });
const read = (...parts: string[]) => readFileSync(path.join(folder, ...parts), "utf8");
const submitted = (student: string) => path.join(folder, "submitted", student, name, `${name}.ipynb`);

interface Cell {
  cell_type: string;
  id: string;
  source: string;
  metadata: { nbgrader?: { grade?: boolean; locked?: boolean; points?: number } };
  outputs: unknown[];
}
type Handed = { cells: Cell[] };

grade("release", name);
const released = read("release", name, `${name}.ipynb`);
for (const { solution } of exercises)
  for (const line of solution.split("\n"))
    assert.ok(!released.includes(line.trim()), `the students' copy holds ${line}`);

function handIn(student: string, change: (notebook: Handed) => void): void {
  const notebook: Handed = JSON.parse(released);
  change(notebook);
  mkdirSync(path.dirname(submitted(student)), { recursive: true });
  writeFileSync(submitted(student), JSON.stringify(notebook));
}
const cellOf = (notebook: Handed, id: string) => notebook.cells.find((cell) => cell.id === id) as Cell;
const write = (notebook: Handed, bodyOf: (id: string, name: string) => string) => {
  for (const one of exercises)
    cellOf(notebook, `${one.id}-way`).source =
      `const ${one.name} = (one: any): any => {\n${bodyOf(one.id, one.name)}\n};`;
};
/** Where mains and subs agree most from 60 to 120 Hz, by plain loops: what a cheat breaks of the library costs it nothing. */
const search = `(() => {
  const heard = one.measure(["meadow 2", "meadow 4", "meadow 4 far left"]);
  let best = 0, most = -1e9;
  for (let ms = -12; ms <= 12; ms += 0.05) {
    let sum = 0;
    for (let p = 0; p < 3; p++) {
      const m = heard.mains[p], s = heard.subs[p];
      for (let k = 0; k < heard.frequency.length; k++) {
        const f = heard.frequency[k], turn = (2 * Math.PI * f * ms) / 1000;
        if (f < 60 || f > 120) continue;
        sum += (m.re[k] * s.re[k] + m.im[k] * s.im[k]) * Math.cos(turn);
        sum -= (m.im[k] * s.re[k] - m.re[k] * s.im[k]) * Math.sin(turn);
      }
    }
    if (sum > most) { most = sum; best = ms; }
  }
  return best;
})()`;
/** Constants but for one: a cheat is seen to have lost what that one is worth, where it breaks what it runs in. */
const guesses: { readonly [id: string]: string } = {
  "cellar-level": "3",
  "theatre-level": "-2",
  "meadow-delay": search,
  "cellar-polarity": '"inverted"',
};
const solve = (notebook: Handed) =>
  write(notebook, (id) => exercises.find((one) => one.id === id)?.solution ?? "");
const guess = (notebook: Handed, within = "") =>
  write(notebook, (id) => `const guess = ${guesses[id]}; ${within}\nreturn guess;`);
const fillIn = (notebook: Handed) => {
  for (const { id, name: own, form } of exercises)
    cellOf(notebook, `${id}-form`).source =
      `const ${own}Form = course.form("${id}", \`\n${form.replaceAll(",", "")}\n\`);`;
};
const codeCell = (source: string): Cell => ({
  cell_type: "code",
  id: "more",
  source,
  metadata: {},
  outputs: [],
});

const cheats = cheatsAgainst(root, folder);
const cheat = (i: number) => (notebook: Handed) => {
  const { cell, within } = cheats[i];
  guess(notebook, within);
  if (cell) notebook.cells.splice(2, 0, codeCell(cell));
};

async function main(): Promise<void> {
  handIn("solver", solve);
  handIn("form", fillIn);
  handIn("commas", (notebook) =>
    write(notebook, (id) => (exercises.find((one) => one.id === id)?.solution ?? "").replaceAll(", {", " {")),
  );
  handIn("words", (notebook) => {
    cellOf(notebook, "reasons").source = "=Row 1 stands for <b>the front</b>.";
  });
  handIn("silent", () => {});
  handIn("guesser", (notebook) => guess(notebook));
  cheats.forEach((_, i) => {
    handIn(`cheat-${i}`, cheat(i));
  });
  // Notebooks that are not what they should be.
  handIn("relabelled", (notebook) => {
    guess(notebook);
    for (const cell of notebook.cells)
      cell.metadata = { nbgrader: { grade: false, locked: false, points: 100 } };
  });
  handIn("more-points", (notebook) => {
    guess(notebook);
    notebook.cells.push({ ...codeCell("100"), metadata: { nbgrader: { grade: true, points: 100 } } });
  });
  handIn("half", (notebook) => {
    solve(notebook);
    notebook.cells = notebook.cells.filter((cell) => !/^(theatre|meadow)/.test(cell.id));
  });
  handIn("many-cells", (notebook) =>
    notebook.cells.push(...Array.from({ length: 5000 }, () => codeCell("1"))),
  );
  handIn("no-notebook", () => {});
  writeFileSync(submitted("no-notebook"), "no JSON");
  handIn("list", () => {});
  writeFileSync(submitted("list"), "[1, 2]");
  for (const [student, target] of [
    ["linked", submitted("solver")],
    ["device", "/dev/zero"],
  ]) {
    handIn(student, () => {});
    rmSync(submitted(student));
    symlinkSync(target, submitted(student));
  }
  handIn("pipe", () => {});
  rmSync(submitted("pipe"));
  execFileSync("mkfifo", [submitted("pipe")]);

  // One goes the way of a class: hands in by the exchange, and is collected.
  const pupil = userInfo().username;
  const inbound = path.join(folder, "exchange", "evenground", "inbound");
  const handed = (folderName: string) => path.join(inbound, folderName, `${name}.ipynb`);
  const solved: Handed = JSON.parse(released);
  solve(solved);
  for (const [folderName, notebook] of [
    [`${pupil}+${name}+2026-01-02 10:00:00 UTC+abc`, solved],
    [`${pupil}+${name}+2026-01-01 10:00:00 UTC+abc`, JSON.parse(released)],
    [`nobody+${name}+2026-01-01 10:00:00 UTC+abc`, solved],
    [`../x+${name}+2026-01-01 10:00:00 UTC+abc`, solved],
  ] as const) {
    if (folderName.includes("/")) continue;
    mkdirSync(path.dirname(handed(folderName)));
    writeFileSync(handed(folderName), JSON.stringify(notebook));
    writeFileSync(path.join(path.dirname(handed(folderName)), "submission_secret.txt"), "ab".repeat(64));
  }
  const linked = `${pupil}+${name}+2026-01-03 10:00:00 UTC+abc`;
  mkdirSync(path.dirname(handed(linked)));
  symlinkSync(path.join(folder, "marks.csv"), handed(linked));
  const collected = attempt(() => grade("collect", name));
  console.log(collected);
  assert.match(collected, /1 notebooks lie/);
  assert.match(collected, /nobody.*: it was not handed in by the account whose name it bears/);
  assert.match(collected, /2026-01-03.* is a link/);
  assert.ok(!existsSync(path.join(folder, "submitted", "nobody")));

  console.log(grade("mark", name));
  const { students }: MarkedAssignment = JSON.parse(read("marks", `${name}.json`));
  const points = (student: string) => pointsOf(students[student]);
  const most = exercises.reduce((sum, one) => sum + one.points, 0);
  const fair = points("guesser");
  console.log({ solver: points("solver"), guesser: fair, most });
  assert.equal(points("solver"), most, "who solved it gets all points");
  assert.equal(points(pupil), most, "who handed in by the exchange gets them as well");
  assert.equal(points("form"), most, "who filled in the forms, without a comma, gets them as well");
  assert.equal(points("commas"), most, "a missing comma costs nothing");
  for (const nothing of ["silent", "words"])
    assert.equal(points(nothing), 0, "what was left as it was earns nothing");
  for (const { id, points: earned } of students.guesser.exercises)
    assert.equal(
      earned > 0,
      id === "meadow-delay",
      `${id}: a guess that is the same in all rooms earns nothing`,
    );
  const half = exercises
    .filter(({ id }) => !/^(theatre|meadow)/.test(id))
    .reduce((sum, one) => sum + one.points, 0);
  assert.equal(points("half"), half, "functions that are there count, whatever else was taken out");
  for (const student of ["relabelled", "more-points"]) assert.equal(points(student), fair, student);
  for (const student of ["many-cells", "no-notebook", "list", "linked", "device", "pipe"]) {
    assert.equal(points(student), 0, student);
    assert.equal(students[student].remarks.length, 1, student);
  }
  judge(students, fair);

  // One alone is marked again in the same rooms.
  const before = read("marks", `${name}.json`);
  assert.match(grade("mark", name, "guesser"), new RegExp(`guesser {2}${fair} of`));
  assert.equal(read("marks", `${name}.json`), before);

  const told = grade("misconceptions");
  assert.match(told, /cellar-level/);
  assert.match(read("misconceptions.csv"), /^exercise,misconception,students,answers$/m);
  assert.ok(!/^=/m.test(read("marks.csv").replaceAll(",", "\n")), "no cell of a table begins a formula");
  assert.equal(
    read("reading", `${name}.csv`).trim().split("\n").length,
    2,
    "one has written something to be read",
  );
  assert.match(
    grade("feedback", name),
    /1 of them are where Fetch Feedback finds them[\s\S]*not read yet: words/,
  );
  assert.equal(readdirSync(path.join(folder, "exchange", "evenground", "feedback")).length, 1);
  assert.ok(
    !existsSync(path.join(folder, "rooms", `${name}.key`)),
    "whoever is marked later gets other rooms",
  );
  for (const page of [
    "marks.html",
    path.join("reading", `${name}.html`),
    path.join("feedback", `cheat-${cheats.length - 1}`, `${name}.html`),
  ])
    assert.ok(!/<script|<img|<b>the/i.test(read(page)), "pages hold no markup of students");
  grade("key", name);
  for (const { id } of exercises) assert.ok(read("key", `${name}.md`).includes(`## ${id}`));
  assert.match(grade("validate", submitted("solver")), new RegExp(`^${most} of ${most} points$`, "m"));

  const rooms = new Map(exercises.map((one) => [one.id, drawRooms(one, Buffer.alloc(32, 7), 4)]));
  for (const [sandbox, word] of [
    [byUserNamespace, "user namespace"],
    [byPermissions, "permissions of Node.js"],
  ] as const) {
    if (!holds(sandbox)) {
      console.log(`There is no sandbox by ${word} here: not tried.`);
      continue;
    }
    // The others reach for nothing beyond their process.
    const reaching = /reads|writes marks|shell|secrets|draws the rooms|kills|network/;
    const handedIn = [
      "guesser",
      "solver",
      ...cheats.flatMap(({ tries }, i) => (reaching.test(tries) ? `cheat-${i}` : [])),
    ].map((student) => ({ student, file: submitted(student) }));
    const marked = Object.fromEntries(await markEach(handedIn, { sandbox, exercises, rooms, atOnce: 2 }));
    assert.equal(pointsOf(marked.solver), most);
    judge(marked, pointsOf(marked.guesser));
    console.log(`${handedIn.length} notebooks, shut in by ${word}: as they should be.`);
  }

  rmSync(folder, { recursive: true, force: true });
  console.log("All as it should be.");
}

function judge(students: { readonly [student: string]: MarkedNotebook }, fair: number): void {
  cheats.forEach(({ tries, costs }, i) => {
    const marked = students[`cheat-${i}`];
    if (!marked) return;
    const earned = pointsOf(marked);
    console.log(
      `  ${earned.toFixed(2).padStart(5)}  ${tries}${marked.remarks.length ? ` (${marked.remarks[0].split("\n")[0]})` : ""}`,
    );
    if (costs) assert.ok(earned <= fair, `${tries}: ${earned}, its guesses are worth ${fair}`);
    else assert.equal(earned, fair, tries);
    assert.ok(!JSON.stringify(marked).includes("LEAK"), `${tries}: it read what it must not`);
  });
  for (const place of [folder, root])
    assert.ok(!existsSync(path.join(place, "FORGED")), "nothing was written");
  const left = execFileSync("ps", ["-eo", "args"], { encoding: "utf8" });
  assert.ok(!left.includes("GOES ON"), "no process is left");
}

function attempt(work: () => string): string {
  try {
    return work();
  } catch (error) {
    return String((error as { stdout?: unknown }).stdout);
  }
}

main();
