import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { differences } from "../../scripts/reference/differences";
import { ensurePython, NoPython } from "../../scripts/setup/python-env.mjs";
import { freePort } from "../../scripts/start/free-port.mjs";
import { readStartOptions } from "../../scripts/start/options.mjs";
import { linkModules, workFolder } from "../../scripts/work/folder.mjs";

let position: string;
const before = { ...process.env };
beforeEach(() => {
  position = mkdtempSync(path.join(tmpdir(), "set up "));
});
afterEach(() => {
  rmSync(position, { recursive: true, force: true });
  process.env = { ...before };
});

describe("the Python for JupyterLab", () => {
  const lock = path.join(__dirname, "..", "..", "scripts", "requirements", "course.txt");
  const make = () => ensurePython({ folder: path.join(position, "env"), lock }, "JupyterLab");
  const pretend = (said: string) => {
    const file = path.join(position, "python");
    writeFileSync(file, `#!/bin/sh\nprintf '${said}'\n`);
    chmodSync(file, 0o755);
    process.env.EVENGROUND_PYTHON = file;
  };

  it.each([
    ["missing", undefined, /was not found: install version 3.10/],
    ["too old", "3.9.18\\nvenv\\n", /Python 3.9.18 is too old: install version 3.10/],
    ["unable to make environments", "3.12.1\\n", /install its venv package/],
    // the stand-ins are shell scripts; which Python is chosen on Windows is tried in systems.test.ts
  ])(
    "is refused in words when it is %s",
    { skip: process.platform === "win32" },
    async (_, says, message) => {
      if (says === undefined) process.env.EVENGROUND_PYTHON = path.join(position, "no such python");
      else pretend(says);
      await expect(make()).rejects.toThrow(message);
      await expect(make()).rejects.toBeInstanceOf(NoPython);
      expect(existsSync(path.join(position, "env"))).toBe(false);
    },
  );

  it("comes from a lock in which every file has a hash and every package one version", () => {
    const entries = readFileSync(lock, "utf8").split(/\n(?=[a-z])/i);
    expect(entries.length).toBeGreaterThan(50);
    for (const entry of entries) expect(entry).toMatch(/^[\w.-]+==\S+ [\s\S]*--hash=sha256:[0-9a-f]{64}/);
  });
});

describe("the options of npm start", () => {
  it.each([
    [["--port", "80"], /--port is "80", expected a whole number from 1024 to 65535/],
    [["--port", "nine"], /--port is "nine"/],
    [["--colour"], /--colour/],
    [["extra"], /extra/],
  ])("%j is refused", (args, message) => {
    expect(() => readStartOptions(args)).toThrow(message);
  });

  it("are few", () => {
    expect(readStartOptions([])).toEqual({ browser: true, port: undefined, work: undefined });
    expect(readStartOptions(["--no-browser", "--port", "9000", "--work", "my work"])).toEqual({
      browser: false,
      port: 9000,
      work: "my work",
    });
  });
});

describe("the port", () => {
  it("is the next free one, unless the user has chosen", async () => {
    const first = await freePort();
    const server = createServer().listen(first, "127.0.0.1");
    await new Promise((resolve) => server.once("listening", resolve));
    expect(await freePort()).toBeGreaterThan(first);
    await expect(freePort(first)).rejects.toThrow(`Port ${first} is in use`);
    await new Promise((resolve) => server.close(resolve));
    expect(await freePort(first)).toBe(first);
  });
});

describe("the place of the work folder", () => {
  const root = path.join(__dirname, "..", "..");

  it("is meant from where the user stands", () => {
    process.env.INIT_CWD = position;
    process.env.EVENGROUND_WORK = "my work";
    expect(workFolder(undefined)).toBe(path.join(position, "my work"));
  });

  it.each(["notebooks", "lib/acoustics", ".", ".."])("can't be %s of the course", (name) => {
    process.env.EVENGROUND_WORK = path.join(root, name);
    expect(() => workFolder(undefined)).toThrow(/belongs to the course/);
  });

  it("can't be a file", () => {
    writeFileSync(path.join(position, "file"), "");
    process.env.EVENGROUND_WORK = path.join(position, "file");
    expect(() => workFolder(undefined)).toThrow(/is a file/);
  });

  it("keeps packages of its own and gets the library beside them", () => {
    mkdirSync(path.join(position, "node_modules", "mine"), { recursive: true });
    linkModules(position);
    linkModules(position);
    expect(existsSync(path.join(position, "node_modules", "mine"))).toBe(true);
    expect(existsSync(path.join(position, "node_modules", "evenground", "index.js"))).toBe(true);
  });
});

describe("two versions of a reference table", () => {
  const differ = (a: unknown, b: unknown) =>
    differences("table.json", Buffer.from(JSON.stringify(a)), Buffer.from(JSON.stringify(b)));

  it("are the same where numbers differ by rounding only", () => {
    expect(differ({ a: [1, 1e-17, null] }, { a: [1 + 1e-9, -1e-17, null] })).toEqual([]);
  });

  it.each([
    [{ a: 1 }, { a: 1.00001 }, "/a was 1, is now 1.00001"],
    [{ a: [1, 2] }, { a: [1] }, "/a/1 was 2, is now undefined"],
    [{ a: 0 }, { a: null }, "/a was 0, is now null"],
    [{}, { b: "x" }, '/b was undefined, is now "x"'],
  ])("%j and %j differ, and it is said where", (a, b, words) => {
    expect(differ(a, b)).toEqual([words]);
  });

  it("are compared by byte where they hold no values", () => {
    expect(differences("a.wav", Buffer.from("a"), Buffer.from("a"))).toEqual([]);
    expect(differences("a.wav", Buffer.from("a"), Buffer.from("b"))).toHaveLength(1);
  });
});
