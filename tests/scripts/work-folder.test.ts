import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { handOut } from "../../scripts/work/hand-out.mjs";

let position: string;
let originals: string;
let work: string;

beforeEach(() => {
  position = mkdtempSync(path.join(tmpdir(), "work folder "));
  originals = path.join(position, "originals");
  work = path.join(position, "my work");
  mkdirSync(originals);
});
afterEach(() => rmSync(position, { recursive: true, force: true }));

const original = (name: string, text: string) => {
  mkdirSync(path.dirname(path.join(originals, name)), { recursive: true });
  writeFileSync(path.join(originals, name), text);
};
const mine = (name: string, text: string) => writeFileSync(path.join(work, name), text);
const read = (name: string) => readFileSync(path.join(work, name), "utf8");
const visible = () =>
  readdirSync(work, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && !entry.name.startsWith("."))
    .map((entry) => path.relative(work, path.join(entry.parentPath ?? entry.path, entry.name)))
    .sort();

describe("the work folder", () => {
  it("gets every lesson at the first start", () => {
    original("01 distance.ipynb", "one");
    original("pictures/wall.svg", "wall");
    original(".hidden", "no");
    expect(handOut(originals, work).added).toEqual(["01 distance.ipynb", path.join("pictures", "wall.svg")]);
    expect(visible()).toEqual(["01 distance.ipynb", path.join("pictures", "wall.svg")]);
  });

  it("gets a new lesson at a later start, and is told of nothing else", () => {
    original("01.ipynb", "one");
    handOut(originals, work);
    original("02.ipynb", "two");
    expect(handOut(originals, work)).toEqual({
      added: ["02.ipynb"],
      renewed: [],
      beside: [],
    });
  });

  it("is known again on another system: by Windows' slashes, and where capitals are one", () => {
    original("01.ipynb", "one");
    original("pictures/wall.svg", "wall");
    handOut(originals, work);
    const file = path.join(work, ".evenground-lessons.json");
    const text = readFileSync(file, "utf8").replace("pictures/wall.svg", "Pictures\\\\wall.svg");
    writeFileSync(file, text.replace('"01.ipynb"', '"01.IPYNB"'));
    original("01.ipynb", "one, better");
    original("pictures/wall.svg", "wall, better");
    expect(handOut(originals, work)).toEqual({
      added: [],
      renewed: ["01.ipynb", path.join("pictures", "wall.svg")],
      beside: [],
    });
  });

  it("keeps a changed lesson whose original stands still, without a word", () => {
    original("01.ipynb", "one");
    handOut(originals, work);
    mine("01.ipynb", "my one");
    expect(handOut(originals, work)).toEqual({
      added: [],
      renewed: [],
      beside: [],
    });
    expect(read("01.ipynb")).toBe("my one");
  });

  it("renews an untouched lesson in place", () => {
    original("01.ipynb", "one");
    handOut(originals, work);
    original("01.ipynb", "one, better");
    expect(handOut(originals, work).renewed).toEqual(["01.ipynb"]);
    expect(read("01.ipynb")).toBe("one, better");
    expect(visible()).toEqual(["01.ipynb"]);
  });

  it("puts the new version of a changed lesson beside it, once, and says under which name", () => {
    original("01.ipynb", "one");
    handOut(originals, work);
    mine("01.ipynb", "my one");
    original("01.ipynb", "one, better");
    expect(handOut(originals, work).beside).toEqual([
      { lesson: "01.ipynb", newVersion: "01 (new version).ipynb" },
    ]);
    expect(read("01.ipynb")).toBe("my one");
    expect(read("01 (new version).ipynb")).toBe("one, better");
    rmSync(path.join(work, "01 (new version).ipynb"));
    expect(handOut(originals, work).beside).toEqual([]);
  });

  it("renews an offered version that nobody has worked in, and keeps one that someone has", () => {
    original("01.ipynb", "one");
    handOut(originals, work);
    mine("01.ipynb", "my one");
    original("01.ipynb", "two");
    handOut(originals, work);
    original("01.ipynb", "three");
    expect(handOut(originals, work).beside[0].newVersion).toBe("01 (new version).ipynb");
    mine("01 (new version).ipynb", "my three");
    original("01.ipynb", "four");
    expect(handOut(originals, work).beside[0].newVersion).toBe("01 (new version 2).ipynb");
    expect(read("01 (new version).ipynb")).toBe("my three");
    expect(read("01 (new version 2).ipynb")).toBe("four");
  });

  it("hands a removed lesson out afresh", () => {
    original("01.ipynb", "one");
    handOut(originals, work);
    rmSync(path.join(work, "01.ipynb"));
    expect(handOut(originals, work).added).toEqual(["01.ipynb"]);
  });

  it("takes every file for the student's own where the record is lost or broken", () => {
    original("01.ipynb", "one");
    handOut(originals, work);
    writeFileSync(path.join(work, ".evenground-lessons.json"), "{");
    original("01.ipynb", "two");
    handOut(originals, work);
    expect(read("01.ipynb")).toBe("one");
    expect(read("01 (new version).ipynb")).toBe("two");
  });

  it("leaves alone a file that was there before the lesson of that name came", () => {
    mkdirSync(work);
    mine("01.ipynb", "my own notes");
    original("01.ipynb", "one");
    handOut(originals, work);
    expect(read("01.ipynb")).toBe("my own notes");
  });

  it("writes through no link and into no folder that bears a lesson's name", () => {
    mkdirSync(path.join(work, "02.ipynb"), { recursive: true });
    symlinkSync(path.join(position, "elsewhere"), path.join(work, "01.ipynb"));
    original("01.ipynb", "one");
    original("02.ipynb", "two");
    handOut(originals, work);
    expect(read("01 (new version).ipynb")).toBe("one");
    expect(read("02 (new version).ipynb")).toBe("two");
    expect(readdirSync(position)).not.toContain("elsewhere");
  });

  it("never loses what a student wrote, whatever updates, edits, renamings and removals come in whatever order", () => {
    const lessons = ["01.ipynb", "02.ipynb"];
    const anyFile = fc.constantFrom(
      ...lessons,
      "01 (new version).ipynb",
      "01 (new version 2).ipynb",
      "02 (new version).ipynb",
    );
    const action = fc.oneof(
      fc.record({
        do: fc.constant("publish" as const),
        name: fc.constantFrom(...lessons),
        text: fc.constantFrom("a", "b", "c"),
      }),
      fc.record({ do: fc.constant("write" as const), name: anyFile }),
      fc.record({ do: fc.constant("remove" as const), name: anyFile }),
      fc.record({
        do: fc.constant("rename" as const),
        name: anyFile,
        to: anyFile,
      }),
      fc.record({ do: fc.constant("lose the record" as const) }),
      fc.record({ do: fc.constant("start" as const) }),
    );
    fc.assert(
      fc.property(fc.array(action, { maxLength: 25 }), (actions) => {
        for (const folder of [originals, work]) rmSync(folder, { recursive: true, force: true });
        mkdirSync(originals);
        mkdirSync(work);
        let count = 0;
        let recordLost = false;
        /** The student's texts and where they lie, kept by the student's own doing alone. */
        const written = new Map<string, string>();
        for (const a of actions) {
          if (a.do === "publish") original(a.name, a.text);
          else if (a.do === "write") {
            written.set(a.name, `mine ${++count}`);
            mine(a.name, `mine ${count}`);
          } else if (a.do === "remove") {
            written.delete(a.name);
            rmSync(path.join(work, a.name), { force: true });
          } else if (a.do === "rename") {
            const text = written.get(a.name);
            if (text === undefined || a.name === a.to) continue;
            rmSync(path.join(work, a.name));
            mine(a.to, text);
            written.delete(a.name);
            written.set(a.to, text);
          } else if (a.do === "start") start();
          else {
            recordLost = true;
            rmSync(path.join(work, ".evenground-lessons.json"), {
              force: true,
            });
          }
          for (const [name, text] of written) expect(read(name)).toBe(text);
        }
        start();
        for (const [name, text] of written) expect(read(name)).toBe(text);
        function start() {
          const { beside } = handOut(originals, work);
          for (const name of readdirSync(originals)) {
            const newest = readFileSync(path.join(originals, name), "utf8");
            const offer = beside.find((offered: { lesson: string }) => offered.lesson === name);
            if (offer) expect(read(offer.newVersion)).toBe(newest);
            else if (!written.has(name) && !recordLost) expect(read(name)).toBe(newest);
          }
          expect(readdirSync(work).filter((name) => name.startsWith(".0"))).toEqual([]);
        }
      }),
      { numRuns: Number(process.env.EVENGROUND_CASES ?? 300) },
    );
  });
});
