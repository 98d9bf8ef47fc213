/**
 * A work folder of any earlier state of the project, with changed lessons in it, survives the update to this one: handed
 * out by that state's own code, changed as students do, then brought up to date by today's.
 */
import { execFileSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { handOut } from "../../scripts/work/hand-out.mjs";
import { notebooksIn } from "../../scripts/work/lessons.mjs";
import earlierRecords from "./earlier-records.json";

const root = path.join(__dirname, "..", "..");
const lessons = path.join(root, "notebooks");
let position: string;
beforeAll(() => {
  position = mkdtempSync(path.join(tmpdir(), "earlier "));
});
afterAll(() => rmSync(position, { recursive: true, force: true }));

const git = (...args: string[]) =>
  execFileSync("git", args, { cwd: root, encoding: "utf8", maxBuffer: 2 ** 28 });

/**
 * States in which a student's folder could have come into being, since lessons or what hands them out changed there: the
 * newest six, every third before, and the first.
 */
function earlierStates(): string[] {
  try {
    const all = git("log", "--format=%h", "--", "notebooks", "scripts/work").split("\n").filter(Boolean);
    return all.filter((_, i) => i < 6 || i % 3 === 0 || i === all.length - 1);
  } catch {
    return []; // no repository, such as a downloaded archive
  }
}

const changed = (file: string, words: string) => {
  const notebook = JSON.parse(readFileSync(file, "utf8"));
  notebook.cells.push({ cell_type: "markdown", metadata: {}, source: [words] });
  writeFileSync(file, JSON.stringify(notebook, null, 1));
  return readFileSync(file);
};

// A clone without history has none of these; the records below stand for them there.
describe.runIf(earlierStates().length > 1)("a work folder of an earlier state", () => {
  it.each(earlierStates())("%s keeps every changed lesson, and the rest comes up to date", (state) => {
    const then = path.join(position, state);
    const work = path.join(then, "work");
    mkdirSync(then, { recursive: true });
    const parts = ["notebooks", "scripts/work", "scripts/setup", "scripts/build"].filter((part) =>
      git("ls-tree", state, part).trim(),
    );
    execFileSync("tar", ["-x", "-C", then], {
      input: execFileSync("git", ["archive", state, ...parts], { cwd: root, maxBuffer: 2 ** 28 }),
    });
    const originals = path.join(then, "notebooks");
    if (!existsSync(originals)) mkdirSync(originals);
    const code = path.join(then, "scripts", "work", "hand-out.mjs");
    if (existsSync(code)) {
      const call = `const { handOut } = await import(${JSON.stringify(code)}); handOut(${JSON.stringify(originals)}, ${JSON.stringify(work)});`;
      execFileSync(process.execPath, ["--input-type=module", "-e", call]);
    } else cpSync(originals, work, { recursive: true });

    const names = notebooksIn(work) as string[];
    const [first, second, third] = names;
    const mine = new Map<string, Buffer>();
    const write = (name: string, bytes: Buffer) => mine.set(name, bytes);
    if (first) write(first, changed(path.join(work, first), "what I found out"));
    if (third) write(third, changed(path.join(work, third), "also mine"));
    if (second) {
      // A renamed lesson is the student's own file, changed or not.
      renameSync(path.join(work, second), path.join(work, `my ${second}`));
      write(`my ${second}`, readFileSync(path.join(work, `my ${second}`)));
    }
    writeFileSync(path.join(work, "notes.txt"), "row L is dull");
    write("notes.txt", readFileSync(path.join(work, "notes.txt")));

    const told = handOut(lessons, work);
    for (const [name, bytes] of mine)
      expect(readFileSync(path.join(work, name)).equals(bytes), name).toBe(true);
    for (const name of notebooksIn(lessons)) {
      const newest = readFileSync(path.join(lessons, name));
      const offered = told.beside.find((one) => one.lesson === name)?.newVersion;
      const differsFromTheirs =
        !existsSync(path.join(originals, name)) || !readFileSync(path.join(originals, name)).equals(newest);
      if (!mine.has(name)) expect(readFileSync(path.join(work, name)).equals(newest), name).toBe(true);
      else if (differsFromTheirs)
        expect(readFileSync(path.join(work, offered ?? "")).equals(newest), name).toBe(true);
      else expect(offered, name).toBeUndefined();
    }
    expect(handOut(lessons, work)).toEqual({ added: [], renewed: [], beside: [] });
  });
});

describe("a record as an earlier state wrote it", () => {
  it.each(earlierRecords.map((one) => [one.state, one] as const))(
    "%s is understood: the untouched lesson is renewed, the changed one kept, the offered one renewed",
    (state, { record, files }) => {
      const work = path.join(position, `record ${state}`);
      const originals = path.join(position, `originals ${state}`);
      for (const folder of [work, originals]) mkdirSync(folder);
      writeFileSync(path.join(work, ".evenground-lessons.json"), JSON.stringify(record));
      for (const [name, content] of Object.entries(files)) writeFileSync(path.join(work, name), content);
      for (const name of ["untouched.ipynb", "changed.ipynb", "offered.ipynb"])
        writeFileSync(path.join(originals, name), "third");
      expect(handOut(originals, work)).toEqual({
        added: [],
        renewed: ["untouched.ipynb"],
        beside: [
          { lesson: "changed.ipynb", newVersion: "changed (new version).ipynb" },
          { lesson: "offered.ipynb", newVersion: "offered (new version).ipynb" },
        ],
      });
      const now = Object.fromEntries(
        readdirSync(work)
          .filter((name) => !name.startsWith("."))
          .map((name) => [name, readFileSync(path.join(work, name), "utf8")]),
      );
      expect(now).toEqual({
        "untouched.ipynb": "third",
        "changed.ipynb": "mine",
        "changed (new version).ipynb": "third",
        "offered.ipynb": "mine",
        "offered (new version).ipynb": "third",
      });
    },
  );
});
