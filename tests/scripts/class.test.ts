/** What `npm run class` accepts on its command line: mistakes are told with their remedy, before anything is set up. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readClassOptions } from "../../scripts/class/server/options.mjs";

const RUNS = Number(process.env.EVENGROUND_CASES ?? 1000);
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "class "));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const list = (text: string) => {
  const file = path.join(folder, "list.txt");
  writeFileSync(file, text);
  return file;
};
const read = (...more: string[]) => {
  const options = readClassOptions(["--one-account", ...more]);
  if (!options) throw new Error("it took that for --help");
  return options;
};

describe("the class list", () => {
  it("is a name a line; empty lines and remarks are left out, the teacher is no student", () => {
    const { students } = read("--students", list("# morning\nada\n\n  bo-2 \r\nteacher\n"));
    expect(students).toEqual(["ada", "bo-2"]);
  });

  it.each(["Root", "../x", "a b", "-rf", "a;b", "x".repeat(32), "é"])("refuses %s with its line", (name) => {
    expect(() => read("--students", list(`ada\n${name}\n`))).toThrow(
      /line 2: ".*" can't be a name here, expected/,
    );
  });

  it("refuses a name that stands there twice, a list without names, and no list", () => {
    expect(() => read("--students", list("ada\nada\n"))).toThrow(/ada twice: give each/);
    expect(() => read("--students", list("# none\n"))).toThrow(/holds no name: write one/);
    expect(() => read("--students", path.join(folder, "no such"))).toThrow(/not there: check its path/);
    expect(() => read()).toThrow(/--students is missing/);
  });
});

describe("the way in", () => {
  it("is loopback unless another address comes with a certificate and its key", () => {
    const students = ["--students", list("ada\n")];
    expect(read(...students).host).toBe("127.0.0.1");
    expect(() => read(...students, "--host", "0.0.0.0")).toThrow(/passwords must not travel in the clear/);
    const pem = path.join(folder, "x.pem");
    writeFileSync(pem, "");
    expect(() => read(...students, "--host", "0.0.0.0", "--tls-cert", pem)).toThrow(/go together/);
    expect(read(...students, "--host", "0.0.0.0", "--tls-cert", pem, "--tls-key", pem).cert).toBe(pem);
  });

  it("asks for no account's password in the clear and takes in nobody who is not on the list", () => {
    const settings = readFileSync(
      path.join(__dirname, "../../scripts/class/server/jupyterhub_config.py"),
      "utf8",
    );
    expect(settings).toMatch(/authenticator_class = "passwords\.ListedPasswords"/);
    // Who is let into everybody's servers acts there with the rights that students' pages then have.
    expect(settings).not.toMatch(/admin_users|access:servers|"tokens"|FirstUse/);
    expect(settings).toMatch(/allow_existing_users = False/);
    expect(settings).not.toMatch(/allow_all\s*=\s*True|DummyAuthenticator/);
  });
});

describe("any command line", () => {
  it("gives options or a sentence, never a crash", () => {
    const file = list("ada\n");
    const option = fc.constantFrom(
      "--port",
      "--host",
      "--memory",
      "--idle",
      "--teacher",
      "--students",
      "--folder",
      "--tls-key",
      "--x",
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(option, fc.string({ maxLength: 12 }))), (pairs) => {
        try {
          const found = read("--students", file, ...pairs.flat());
          expect(Number.isInteger(found.port) && found.port > 0).toBe(true);
        } catch (error) {
          expect((error as Error).constructor.name).toBe("SetupError");
          expect((error as Error).message).not.toMatch(/undefined|NaN|\[object/);
        }
      }),
      { numRuns: RUNS },
    );
  });
});
