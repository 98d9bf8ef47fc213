import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { ensurePasswords } from "../../scripts/class/server/passwords.mjs";
import { leftRunning } from "../../scripts/setup/left-running.mjs";
import { inRoot } from "../../scripts/setup/places.mjs";

let state: string;
beforeEach(() => {
  state = mkdtempSync(path.join(tmpdir(), "state "));
});
afterEach(() => rmSync(state, { recursive: true, force: true }));
const records = (): { [name: string]: string } =>
  JSON.parse(readFileSync(path.join(state, "passwords.json"), "utf8"));

/** Python's own scrypt, as the hub asks it. */
function fits(password: string, record: string): boolean {
  const program =
    "import sys; sys.path.insert(0, sys.argv[1]); from password_records import fits; print(fits(*sys.argv[2:]))";
  const args = ["-c", program, inRoot("scripts", "class", "server"), password, record];
  const { stdout, stderr } = spawnSync("python3", args, { encoding: "utf8" });
  if (stderr) throw new Error(stderr);
  return stdout.trim() === "True";
}

describe("the class's passwords", () => {
  it("are made for everyone at the first start, told once, and kept as what only they fit", () => {
    const made = ensurePasswords(state, ["teacher", "ada"], {});
    expect([...made.keys()]).toEqual(["teacher", "ada"]);
    expect(new Set(made.values()).size).toBe(2);
    for (const [name, password] of made) {
      expect(password).toMatch(/^[a-z2-9]{4}-[a-z2-9]{4}-[a-z2-9]{4}$/);
      expect(fits(password, records()[name])).toBe(true);
      expect(fits(`${password}x`, records()[name])).toBe(false);
      expect(readFileSync(path.join(state, "passwords.json"), "utf8")).not.toContain(password);
    }
    if (process.platform !== "win32")
      expect(statSync(path.join(state, "passwords.json")).mode & 0o077).toBe(0);
    expect(ensurePasswords(state, ["teacher", "ada"], {}).size).toBe(0);
  });

  it("stay as they are for those who have one; a new one is made for who has lost theirs or is new", () => {
    ensurePasswords(state, ["teacher", "ada", "bob"], {});
    const before = records();
    const made = ensurePasswords(state, ["teacher", "ada", "carl"], { anew: ["ada"] });
    expect([...made.keys()]).toEqual(["ada", "carl"]);
    expect(records().teacher).toBe(before.teacher);
    expect(records().ada).not.toBe(before.ada);
    expect(records().bob).toBeUndefined();
    expect(() => ensurePasswords(state, ["ada"], { anew: ["eve"] })).toThrow("There is no eve in the class");
  });

  it("may be given in a file, long enough, for names of the class alone", () => {
    const given = path.join(state, "given.txt");
    writeFileSync(given, "ada  long enough a one \n\n");
    expect([...ensurePasswords(state, ["ada", "bob"], { given }).keys()]).toEqual(["bob"]);
    expect(fits("long enough a one", records().ada)).toBe(true);
    writeFileSync(given, "ada short\n");
    expect(() => ensurePasswords(state, ["ada"], { given })).toThrow("line 1: the password of ada is short");
    writeFileSync(given, "eve long enough\n");
    expect(() => ensurePasswords(state, ["ada"], { given })).toThrow("line 1: there is no such name");
  });
});

it("what an earlier start left running is found; what a start that still runs has below it is not", () => {
  const all = [
    { id: 1, parent: 0, words: "init" },
    { id: 10, parent: 1, words: "python -m jupyterlab --ServerApp.root_dir=/w" },
    { id: 20, parent: 1, words: "node scripts/start.mjs" },
    { id: 21, parent: 20, words: "python -m jupyterlab --ServerApp.root_dir=/w" },
    { id: 30, parent: 10, words: "node kernel" },
  ];
  expect(leftRunning((words) => words.includes("jupyterlab"), "start.mjs", all)).toEqual([10]);
});
