/** What is installed is exactly what the locks say, runs nothing while it is installed, and stands under a licence that is listed. */
import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";

const root = path.join(__dirname, "../..");
const read = (...parts: string[]) => readFileSync(path.join(root, ...parts), "utf8");
interface Locked {
  version: string;
  integrity?: string;
  resolved?: string;
  hasInstallScript?: boolean;
}
const locks = { course: "package-lock.json", class: "scripts/class/server/package-lock.json" };
const packagesOf = (lock: string): [string, Locked][] =>
  (Object.entries(JSON.parse(read(lock)).packages) as [string, Locked][]).filter(([where]) => where !== "");

describe("packages from npm", () => {
  it.each(Object.values(locks))("are locked with a strong hash each: %s", (lock) => {
    const packages = packagesOf(lock);
    expect(packages.length).toBeGreaterThan(10);
    // what comes from the repository itself has no hash but the repository's
    expect(
      packages
        .filter(([, { integrity, resolved }]) => !(integrity ?? resolved)?.match(/^(sha512-|file:scripts\/)/))
        .map(([where]) => where),
    ).toEqual([]);
  });

  it("that would run a script of their own while being installed are these, and the course works without those scripts", () => {
    const names = Object.values(locks).flatMap((lock) =>
      packagesOf(lock)
        .filter(([, { hasInstallScript }]) => hasInstallScript)
        .map(([where]) => where.replace(/.*node_modules\//, "")),
    );
    // What each script would do, and so why it is not needed, stands beside its name.
    const told = read("scripts/licences/install-scripts.json");
    expect([...new Set(names)].sort()).toEqual(Object.keys(JSON.parse(told)).sort());
  });

  it("are installed without running any script, wherever this project installs", () => {
    const files = execFileSync(
      "git",
      ["ls-files", "*.mjs", "*.ts", "*.sh", ".ci/run", "*.yaml", "*Dockerfile*"],
      { cwd: root, encoding: "utf8" },
    );
    const installs = files
      .split("\n")
      .filter((file) => file && !file.startsWith("tests/"))
      .flatMap((file) => {
        const text = read(file);
        const calls = text.match(/"ci",[^\]]*\]|npm (ci|install|i)\b[^\n]*/g) ?? [];
        return calls.filter((call) => !call.includes("--ignore-scripts")).map((call) => `${file}: ${call}`);
      });
    expect(installs).toEqual([]);
    expect(read("scripts/setup/npm-packages.mjs")).toContain('"--ignore-scripts"');
  });
});

describe("a known advisory", () => {
  // tests/README.md lists them; what stands there against each must stay true.
  it("on reading spreadsheets is mended in the version that is locked", () => {
    const [, sheets] = packagesOf(locks.course).find(([where]) => where === "node_modules/xlsx") ?? [];
    const [, minor, patch] = (sheets?.version ?? "0.0.0").split(".").map(Number);
    expect(minor * 1000 + patch).toBeGreaterThanOrEqual(20_002);
  });

  it.each(["form-data", "har-validator", "tough-cookie", "uuid"])(
    "on what once asked other computers meets nothing: %s is not installed, request is ours",
    (name) => {
      const all = packagesOf(locks.course);
      expect(all.filter(([where]) => where.endsWith(`/${name}`))).toEqual([]);
      expect(all.filter(([where]) => where.endsWith("/request")).map(([, { resolved }]) => resolved)).toEqual(
        ["file:scripts/stand-ins/request"],
      );
    },
  );
});

describe("packages from PyPI", () => {
  const folder = path.join(root, "scripts/requirements");
  const lists = readdirSync(folder).filter((file) => file.endsWith(".txt"));

  it.each(lists)("are locked to one version with the hash of each file: %s", (file) => {
    const entries = readFileSync(path.join(folder, file), "utf8")
      .replace(/\\\n/g, " ")
      .split("\n")
      .filter((line) => line.trim() && !line.trim().startsWith("#"));
    expect(entries.length).toBeGreaterThan(5);
    expect(
      entries.filter((line) => !/^[a-z0-9._-]+(\[[a-z,-]+\])?==\S+ .*--hash=sha256:[0-9a-f]{64}/i.test(line)),
    ).toEqual([]);
  });

  it("are installed by hash, as wheels, so that no code of theirs runs meanwhile", () => {
    const text = read("scripts/setup/python-env.mjs");
    for (const word of ["--require-hashes", "--no-deps", "--only-binary", ":all:"])
      expect(text).toContain(`"${word}"`);
  });
});
