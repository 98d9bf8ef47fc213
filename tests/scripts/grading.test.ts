import {
  chmodSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { exerciseIn } from "../../lib/lesson/exercises/exercise";
import { assignments } from "../../scripts/class/marking/assignments";
import { csvOf } from "../../scripts/class/marking/csv";
import { collect, release } from "../../scripts/class/marking/exchange";
import { submissions, takeIn, trialOf } from "../../scripts/class/marking/handed-in";
import { countMisconceptions, misconceptionsCsv } from "../../scripts/class/marking/marks";
import { ownCells, studentNotebook } from "../../scripts/class/marking/notebook";
import { feedbackPage, overviewPage } from "../../scripts/class/marking/pages";
import { drawRooms, drawsOf, workedWay } from "../../scripts/class/marking/rooms";
import { layOut } from "../../scripts/class/server/exchange.mjs";

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "grading "));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const posix = process.platform !== "win32";
const own = process.getuid?.();

describe("a student's notebook", () => {
  it("holds no solution, locks the cells that check, and gives each cell a name of its own", () => {
    for (const assignment of assignments) {
      const { cells } = studentNotebook(assignment);
      const text = JSON.stringify(cells);
      for (const { solution } of assignment.exercises)
        for (const line of solution.split("\n")) expect(text).not.toContain(line.trim());
      expect(new Set(cells.map(({ id }) => id)).size).toBe(cells.length);
      for (const { id, metadata } of cells)
        if (/own-room$/.test(id))
          expect(metadata).toMatchObject({ editable: false, nbgrader: { locked: true } });
    }
  });

  it("gives back the cells that are the student's own, in order, and no others", () => {
    const file = path.join(folder, "a.ipynb");
    const notebook = studentNotebook(assignments[0]);
    writeFileSync(file, JSON.stringify(notebook));
    const expected = notebook.cells.filter(
      ({ cell_type, id }) => cell_type === "code" && !/own-room$/.test(id),
    );
    expect(ownCells(file)).toEqual(expected.map(({ source }) => source));
    expect(trialOf(file).exercises).toEqual(assignments[0].exercises);
  });

  it("that was sent is laid where others lie, by the assignment that it is of and under its file's name", () => {
    const sent = path.join(folder, "sent");
    const teacher = path.join(folder, "teacher");
    mkdirSync(path.join(sent, "folder.ipynb"), { recursive: true });
    const [first, second] = assignments;
    writeFileSync(path.join(sent, "ana.ipynb"), JSON.stringify(studentNotebook(first)));
    writeFileSync(path.join(sent, "ben.ipynb"), JSON.stringify(studentNotebook(second)));
    writeFileSync(path.join(sent, "none.ipynb"), "{}");
    writeFileSync(path.join(sent, "list.txt"), "");
    if (posix) symlinkSync(path.join(sent, "ana.ipynb"), path.join(sent, "link.ipynb"));
    const { found, refused } = takeIn(sent, teacher);
    expect(found).toEqual([first, second]);
    expect(refused).toHaveLength(posix ? 3 : 2);
    expect(submissions(teacher, first.name).map(({ student }) => student)).toEqual(["ana"]);
    expect(ownCells(submissions(teacher, second.name)[0].file)).toEqual(
      ownCells(path.join(sent, "ben.ipynb")),
    );
    expect(() => takeIn(teacher, teacher)).toThrow(/no notebook of an assignment/);
  });

  it("that is none is told in a sentence, whatever it is", () => {
    const file = path.join(folder, "b.ipynb");
    fc.assert(
      fc.property(fc.oneof(fc.json(), fc.string()), (text) => {
        writeFileSync(file, text);
        try {
          expect(Array.isArray(ownCells(file))).toBe(true);
        } catch (error) {
          expect((error as Error).message).toMatch(/^(is no notebook|has \d+ cells)/);
        }
      }),
    );
  });
});

describe("a room to be marked in", () => {
  const [one] = assignments[0].exercises;
  const key = Buffer.alloc(32, 1);

  it("is one in which the worked solution passes, the same for the same key, and another for another", () => {
    const [first, again, other] = [key, key, Buffer.alloc(32, 2)].map((k) => drawRooms(one, k));
    expect(first.length).toBe(3);
    const drawing = (rooms: typeof first) => JSON.stringify(rooms.map(({ room }) => room.task.drawing));
    expect(drawing(again)).toBe(drawing(first));
    expect(drawing(other)).not.toBe(drawing(first));
    for (const { room, worked } of first) {
      const trial = exerciseIn(room);
      expect(trial.check(workedWay(one)(trial)).score).toBe(worked);
    }
    // what is right in one room is not good enough in all
    const answer = workedWay(one)(exerciseIn(first[0].room));
    const scores = first.map(({ room }) => exerciseIn(room).check(answer).score);
    expect(scores.reduce((a, b) => a + b, 0) / 3).toBeLessThan(70);
  }, 60_000);

  it("gives every student microphones of their own, with the same noise at the same position", () => {
    const [{ room }] = drawRooms(one, key);
    const [a, b] = [exerciseIn(room), exerciseIn(room)];
    const heard = a.measure([{ x: 5, y: 1 }]);
    expect(
      b.measure([
        { x: 8, y: 0 },
        { x: 5, y: 1 },
      ]).mains[1].re,
    ).toEqual(heard.mains[0].re);
    expect(a.microphonesLeft).toBe(b.microphonesLeft + 1);
  }, 60_000);

  it("is made of numbers spread evenly, which another label or another bit of the key changes altogether", () => {
    const take = (k: Uint8Array, label: string) => Array.from({ length: 4000 }, drawsOf(k, label));
    const numbers = take(key, "a");
    // Kolmogorov and Smirnov: beyond 1.95/√n by chance once in a thousand (Knuth, The Art of Computer Programming 2, 3.3.1)
    const sorted = [...numbers].sort((a, b) => a - b);
    const farthest = Math.max(...sorted.map((x, i) => Math.max(x - i / 4000, (i + 1) / 4000 - x)));
    expect(farthest).toBeLessThan(1.95 / Math.sqrt(4000));
    for (const others of [take(key, "b"), take(Buffer.alloc(32, 3), "a")])
      expect(others.filter((x, i) => x === numbers[i])).toEqual([]);
  });
});

it.each(assignments.flatMap(({ exercises }) => exercises))(
  "a worked solution of $id passes in a room that it was not written for",
  (one) => {
    expect(drawRooms(one, Buffer.alloc(32, 9)).length).toBe(3);
  },
  120_000,
);

describe.runIf(posix)("the exchange", () => {
  const exchange = () => path.join(folder, "exchange");
  const hand = (name: string, content = "{}") => {
    const place = path.join(layOut(exchange()).inbound, name);
    mkdirSync(place);
    writeFileSync(path.join(place, "one.ipynb"), content);
    return place;
  };
  const gathered = () =>
    collect(exchange(), "one", path.join(folder, "submitted"), (who) => (who === "stranger" ? 1 : own));

  it("belongs to the teacher from the start: what is put out is read, what comes in is not listed, nothing is taken away", () => {
    const { outbound, inbound } = layOut(exchange());
    const mode = (place: string) => (statSync(place).mode & 0o7777).toString(8);
    expect([exchange(), path.dirname(inbound), outbound, inbound].map(mode)).toEqual([
      "1777",
      "755",
      "755",
      "1733",
    ]);
    chmodSync(inbound, 0o777);
    layOut(exchange());
    expect(mode(inbound)).toBe("1733");
    release(exchange(), "one", "{}");
    expect(mode(path.join(outbound, "one", "one.ipynb"))).toBe("644");
  });

  it("gives the newest notebook of each student, and refuses what is not theirs or is no file", () => {
    hand("ada+one+2026-01-01 10:00:00+x", '"old"');
    hand("ada+one+2026-01-02 10:00:00+x", '"new"');
    hand("ada+two+2026-01-03 10:00:00+x", '"another assignment"');
    hand("stranger+one+2026-01-01 10:00:00+x");
    hand("..+one+2026-01-01 10:00:00+x");
    const linked = hand("eve+one+2026-01-01 10:00:00+x");
    rmSync(path.join(linked, "one.ipynb"));
    symlinkSync("/etc/passwd", path.join(linked, "one.ipynb"));
    symlinkSync(linked, path.join(path.dirname(linked), "bob+one+2026-01-01 10:00:00+x"));
    const hard = path.join(hand("carl+one+2026-01-01 10:00:00+x"), "one.ipynb");
    linkSync(hard, path.join(folder, "another name"));
    const { students, refused } = gathered();
    expect(students).toEqual(["ada"]);
    expect(refused.join("\n")).toMatch(
      /no student's[\s\S]*bob.*no folder[\s\S]*carl.*another account's file[\s\S]*eve.*is a link[\s\S]*stranger.*not handed in by/,
    );
    const [found] = submissions(folder, "one");
    expect(found.student).toBe("ada");
    expect(() => ownCells(found.file)).toThrow("no notebook");
    expect(() => submissions(folder, "three")).toThrow("Nobody has handed in anything for three");
  });
});

describe("what is made of marks", () => {
  const tried = (misconception: string | null, problem: string | null = null) => ({
    share: 0.5,
    misconception,
    problem,
  });
  const marked = (...all: ReturnType<typeof tried>[]) => ({
    exercises: [{ id: "cellar-level", points: 2, most: 4, tried: all }],
    remarks: ["=1+1", "<script>alert(1)</script>"],
  });
  const students = {
    a: marked(tried("left as it was"), tried("left as it was"), tried(null)),
    b: marked(tried("left as it was"), tried("front row decides"), tried(null, "<img src=x>")),
  };

  it("counts mistakes by students and answers, most students first", () => {
    expect(misconceptionsCsv(countMisconceptions([{ key: "", students }])).split("\n")).toEqual([
      "exercise,misconception,students,answers",
      "cellar-level,left as it was,2,3",
      "cellar-level,front row decides,1,1",
      "cellar-level,no answer,1,1",
    ]);
  });

  it("is words and numbers: no markup of a student's stands in a page", () => {
    for (const page of [feedbackPage("One", "<b>", students.b), overviewPage([{ title: "One", students }])]) {
      expect(page).not.toMatch(/<script|<img|<b>&lt|<b>:/);
      expect(page).toContain("default-src 'none'");
    }
  });

  it("begins no formula in a spreadsheet, and reads back as it was", () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.array(
            fc.string().filter((text) => !text.startsWith("'")),
            { minLength: 1 },
          ),
          { minLength: 1 },
        ),
        (rows) => {
          const text = csvOf(rows);
          for (const cell of fields(text).flat()) expect(cell).not.toMatch(/^[=+\-@\t\r]/);
          expect(fields(text).map((row) => row.map((c) => c.replace(/^'(?=[=+\-@\t\r])/, "")))).toEqual(rows);
        },
      ),
    );
  });
});

/** Fields of comma-separated values, by RFC 4180's grammar. */
function fields(text: string): string[][] {
  const rows: string[][] = [[]];
  const field = /("(?:[^"]|"")*"|[^",\r\n]*)(,|\n|$)/y;
  for (;;) {
    const found = field.exec(text);
    if (!found) throw new Error(`no field at ${field.lastIndex}`);
    const [, cell, end] = found;
    rows[rows.length - 1].push(cell.startsWith('"') ? cell.slice(1, -1).replaceAll('""', '"') : cell);
    if (end === "") return rows;
    if (end === "\n") rows.push([]);
  }
}
