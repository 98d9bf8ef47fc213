import {
  chmodSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Exercise, exerciseIn } from "../../lib/lesson/exercises/exercise";
import { form } from "../../lib/lesson/exercises/form/form";
import { uniform } from "../../lib/numeric/random";
import { assignments } from "../../scripts/class/marking/assignments";
import { creditOf } from "../../scripts/class/marking/credit";
import { csvOf, rowsOf } from "../../scripts/class/marking/csv";
import { collect, release, releaseFeedback } from "../../scripts/class/marking/exchange";
import { submissions, takeIn, trialOf } from "../../scripts/class/marking/handed-in";
import { markExercises } from "../../scripts/class/marking/mark";
import {
  countMisconceptions,
  keepMarks,
  marksCsv,
  misconceptionsCsv,
} from "../../scripts/class/marking/marks";
import { ownCells, reasonsIn, studentNotebook, waysOf } from "../../scripts/class/marking/notebook";
import { readGradeOptions } from "../../scripts/class/marking/options";
import { feedbackPage, overviewPage, readingPage } from "../../scripts/class/marking/pages";
import { keepReading, readingFile } from "../../scripts/class/marking/reading";
import { closeRooms, keyOf } from "../../scripts/class/marking/room-key";
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
      for (const { form } of assignment.exercises)
        expect(text).not.toContain(JSON.stringify(form).slice(1, -1));
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

  it("has a form and a function for each exercise, whole as they stand, that are not tried until they are changed", async () => {
    for (const { id, standIn, name } of assignments.flatMap(({ exercises }) => exercises)) {
      const [{ source: filled }, { source }] = waysOf({ id, name, standIn });
      const [, lines] = /`\n([^`]*)\n`/.exec(filled) ?? [];
      expect(form(id, lines).words.split("\n")).toHaveLength(lines.split("\n").length);
      expect(() => new Function(source), id).not.toThrow();
    }
    const [one] = assignments[0].exercises;
    const rooms = new Map([[one.id, drawRooms(one, Buffer.alloc(32, 1), 2)]]);
    const asked: string[] = [];
    const student = {
      problems: [],
      end() {},
      decide: async (way: string) => {
        asked.push(way);
        return { answer: 3 };
      },
    };
    const [form1, function1] = waysOf(one);
    const tried = async (...cells: string[]) => {
      asked.length = 0;
      const [{ points }] = await markExercises(student, cells, [one], rooms);
      return [points, [...asked]];
    };
    expect(await tried(form1.source, `${function1.source}\n`)).toEqual([0, []]);
    expect((await tried(`${form1.source} `, function1.source.replace("0", "6")))[1]).toEqual([
      "cellarLevel",
      "cellarLevel",
    ]);
    expect((await tried(form1.source.replace("front row", "everybody")))[1]).toEqual([
      "cellarLevelForm",
      "cellarLevelForm",
    ]);
  }, 60_000);

  it("gives what a person is to read, and nothing where nothing was written", () => {
    const notebook = studentNotebook(assignments[0]);
    const file = path.join(folder, "read.ipynb");
    writeFileSync(file, JSON.stringify(notebook));
    expect(reasonsIn(file)).toBe("");
    const cell = notebook.cells.find(({ id }) => id === "reasons") as { source: unknown };
    cell.source = ["Row 1 stands for ", "the front."];
    writeFileSync(file, JSON.stringify(notebook));
    expect(reasonsIn(file)).toBe("Row 1 stands for the front.");
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

it("a release has a key of its own until its feedback is out", () => {
  const first = keyOf(folder, "one");
  expect(keyOf(folder, "one")).toEqual(first);
  closeRooms(folder, "one");
  expect(keyOf(folder, "one")).not.toEqual(first);
});

describe("a room to be marked in", () => {
  const [one] = assignments[0].exercises;
  const key = Buffer.alloc(32, 1);

  it("is one in which the worked solution passes, the same for the same key, and another for another", () => {
    const [first, again, other] = [key, key, Buffer.alloc(32, 2)].map((k) => drawRooms(one, k, 2).rooms);
    expect(first.length).toBe(2);
    const drawing = (rooms: typeof first) => JSON.stringify(rooms.map(({ room }) => room.task.drawing));
    expect(drawing(again)).toBe(drawing(first));
    expect(drawing(other)).not.toBe(drawing(first));
    for (const { room, worked } of first) {
      const trial = exerciseIn(room);
      expect(trial.check(workedWay(one)(trial)).score).toBe(worked);
    }
  }, 60_000);

  it("comes with as many others that ask for the opposite, and no answer to all of them earns anything", () => {
    const delay = assignments[0].exercises.find(({ id }) => id === "meadow-delay") as typeof one;
    const hidden = drawRooms(delay, key);
    expect(hidden.rooms.length).toBeGreaterThanOrEqual(10);
    const bests = hidden.rooms.map(({ room }) => room.judgeWith([]).best as number);
    expect(bests.filter((best) => best > 0)).toHaveLength(hidden.rooms.length / 2);
    const credit = (way: (one: Exercise) => unknown) =>
      creditOf(
        hidden.rooms.map(({ room, worked }) => {
          const trial = exerciseIn(room);
          return trial.check(way(trial)).score / worked;
        }),
        hidden.blind,
      );
    expect(credit(workedWay(delay))).toBeCloseTo(1, 12);
    for (let constant = -12; constant <= 12; constant += 0.7)
      expect(
        credit(() => constant),
        `${constant} ms`,
      ).toBeLessThanOrEqual(0.05);
    const random = uniform(3);
    const drawn = Array.from({ length: 20 }, () => credit(() => 20 * random() - 10));
    expect(drawn.reduce((sum, each) => sum + each, 0) / drawn.length).toBeLessThanOrEqual(0.05);
  }, 60_000);

  it("gives every student microphones of their own, with the same noise at the same position", () => {
    const [{ room }] = drawRooms(one, key, 1).rooms;
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
  "a worked solution of $id, and a form, pass in a room that it was not written for",
  (one) => {
    const { rooms } = drawRooms(one, Buffer.alloc(32, 9), 2);
    expect(rooms.length).toBe(2);
    const trial = exerciseIn(rooms[0].room);
    expect(trial.check(form(one.id, one.form)(trial)).passed, "its form").toBe(true);
  },
  120_000,
);

it("one account for everybody is an option of collect", () => {
  expect(readGradeOptions(["collect", "one-decision", "--one-account"])?.oneAccount).toBe(true);
  expect(readGradeOptions(["collect", "one-decision"])?.oneAccount).toBe(false);
});

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
    const secret = "0123456789abcdef".repeat(8);
    writeFileSync(
      path.join(layOut(exchange()).inbound, "ada+one+2026-01-02 10:00:00+x", "submission_secret.txt"),
      secret,
    );
    const { students, refused } = gathered();
    expect(students).toEqual(["ada"]);
    // nbgrader's utils.notebook_hash(secret=…, notebook_id="one"), computed in Python
    const page = path.join(layOut(exchange()).feedback, "6d20fc8c77ffa0a3a8a168889e156714.html");
    expect(releaseFeedback(exchange(), "one", path.join(folder, "submitted", "ada", "one"), "<p>")).toBe(
      true,
    );
    expect(statSync(page).mode & 0o777).toBe(0o644);
    expect(statSync(path.dirname(page)).mode & 0o777).toBe(0o711);
    expect(releaseFeedback(exchange(), "one", path.join(folder, "submitted", "eve", "one"), "<p>")).toBe(
      false,
    );
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
    answer: problem ? null : "3.0 dB",
    best: "7.1 dB",
    cost_db: problem ? null : 2.4,
    people: problem ? null : { served: 41, best: 93, means: "within 3 dB of the target balance" },
    misconception,
    problem,
  });
  const marked = (...all: ReturnType<typeof tried>[]) => ({
    exercises: [{ id: "cellar-level", points: 2, most: 4, blind: 0.48, tried: all }],
    written: "<script>alert(2)</script>",
    remarks: ["=1+1", "<script>alert(1)</script>"],
  });
  const students = {
    a: marked(tried("left as it was"), tried("left as it was"), tried(null)),
    b: marked(tried("left as it was"), tried("front row decides"), tried(null, "<img src=x>")),
  };

  it("counts mistakes by students and answers, most students first", () => {
    expect(misconceptionsCsv(countMisconceptions([{ students }])).split("\n")).toEqual([
      "exercise,misconception,students,answers",
      "cellar-level,left as it was,2,3",
      "cellar-level,front row decides,1,1",
      "cellar-level,no answer,1,1",
    ]);
  });

  it("is words and numbers: no markup of a student's stands in a page", () => {
    const read = new Map([["a", [1, 0.5, 0, 1]]]);
    for (const page of [
      feedbackPage("One", "<b>", students.b, undefined),
      overviewPage([{ title: "One", students, read }]),
      readingPage("One", new Map([["<img>", students.b.written]]), "one.csv"),
    ]) {
      expect(page).not.toMatch(/<script|<img|<b>&lt|<b>:/);
      expect(page).toContain("default-src 'none'");
    }
  });

  it("tells a student of each hidden room their answer, the best, and what it cost in decibels and people", () => {
    const page = feedbackPage("One", "b", students.b, [1, 0.5, null, 1]);
    expect(page).toMatch(/3\.0 dB.*7\.1 dB.*2\.4 dB.*41 of 100, with the best 93.*left as it was/);
    expect(page).toContain("One answer to all rooms would have earned 48 %");
    expect(page).toMatch(/0\.5 of 1.*not read yet/);
  });

  it("has a column for each exercise, to a tenth, and adds what a person gave", () => {
    const teacher = path.join(folder, "columns");
    keepMarks(teacher, "one-decision", { students });
    keepReading(
      teacher,
      "one-decision",
      new Map(Object.entries(students).map(([who, m]) => [who, m.written])),
    );
    const file = readingFile(teacher, "one-decision", "csv");
    expect(marksCsv(teacher)).toMatch(/^one-decision,a,2,8,2,,its reasons are not read yet/m);
    // as a spreadsheet of a country with decimal commas writes it
    writeFileSync(file, "\uFEFFstudent;why_there;who_pays;cant_change;figure\r\na;1;0,5;1;0\r\n");
    const [head, a, b] = marksCsv(teacher).split("\n");
    expect(head).toBe("assignment,student,points,of,cellar-level,reasons,remarks");
    expect(a).toMatch(/^one-decision,a,4\.5,8,2,2\.5,/);
    expect(b).toMatch(/^one-decision,b,2,8,2,,/);
    keepReading(
      teacher,
      "one-decision",
      new Map([
        ["a", "again"],
        ["b", "more"],
        ["c", ""],
      ]),
    );
    expect(rowsOf(readFileSync(file, "utf8"))).toEqual([
      ["student", "why_there", "who_pays", "cant_change", "figure"],
      ["a", "1", "0.5", "1", "0"],
      ["b", "", "", "", ""],
    ]);
    writeFileSync(file, "student,why_there,who_pays,cant_change,figure\na,4,0,0,0\n");
    expect(() => marksCsv(teacher)).toThrow(/line 2: why_there is "4", expected 0 to 1/);
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
          if (rows.every((row) => row.some((each) => each.trim() !== "")))
            expect(rowsOf(csvOf([["head"], ...rows])).slice(1)).toEqual(fields(text));
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
