/** A cluster can't be run here; the files for one are held against what the chart takes, and read by parsers of their languages. */
import { spawnSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import Ajv from "ajv";
import { validate } from "dockerfile-utils";
import { describe, expect, it } from "vitest";
import { parseDocument } from "yaml";
import { context, goesIn, steps } from "../../scripts/class/checks/recipe";

const root = path.join(__dirname, "..", "..");
const folder = path.join(root, "scripts", "class", "kubernetes");
const read = (name: string) => readFileSync(path.join(folder, name), "utf8");
const recipe = read("Dockerfile");
const ignore = read("Dockerfile.dockerignore");

/** The values, by the YAML that Helm reads (1.1) and by today's (1.2). */
const document = (version: "1.1" | "1.2", text = read("values.yaml")) =>
  parseDocument(text, { version, strict: true, uniqueKeys: true });
const values = () => document("1.1").toJS();

const chart = JSON.parse(readFileSync(path.join(__dirname, "chart-values.schema.json"), "utf8"));
const fits = new Ajv({ strict: true, allErrors: true, allowUnionTypes: true, strictRequired: false }).compile(
  chart,
);
const wrong = (given: unknown) => {
  fits(given);
  return (fits.errors ?? []).map(
    ({ instancePath, message, params }) => `${instancePath} ${message} ${JSON.stringify(params)}`,
  );
};

describe("the deployment on Kubernetes", () => {
  it("has values that mean the same to either YAML, without errors, warnings or keys given twice", () => {
    for (const version of ["1.1", "1.2"] as const) {
      const { errors, warnings } = document(version);
      expect([...errors, ...warnings]).toEqual([]);
    }
    expect(document("1.2").toJS()).toEqual(values());
    // What would be told: a mode in octal.
    expect(document("1.2", "mode: 0440").toJS()).not.toEqual(document("1.1", "mode: 0440").toJS());
  });

  it("has values that the chart takes, each under a key and of a type that it knows", () => {
    expect(wrong(values())).toEqual([]);
  });

  it.each([
    ["a key that the chart has not", "singleuser.storage.homeMount", "/home", "homeMount"],
    ["a section that it has not", "auth", { type: "custom" }, "auth"],
    ["a number for a tag", "singleuser.image.tag", 1, "/singleuser/image/tag"],
    ["a file without a path", "hub.extraFiles.more", { stringData: "" }, "/hub/extraFiles/more"],
    ["a file given twice", "hub.extraFiles.list.data", {}, "/hub/extraFiles/list"],
    ["a setting that is no class's", "hub.config.loadRoles", {}, "/hub/config"],
    ["roles in the chart's place", "hub.config.JupyterHub.load_roles", [], "load_roles"],
  ])("would tell of %s", (_, key, value, told) => {
    const spoiled = document("1.1");
    spoiled.setIn(key.split("."), value);
    expect(wrong(spoiled.toJS()).join("\n")).toContain(told);
  });

  it("keeps strangers out, and puts files where Python and the hub look for them", () => {
    const { hub, proxy } = values();
    expect(proxy.https.enabled).toBe(true);
    expect(hub.config.Authenticator.allow_existing_users).toBe(false);
    const files = Object.values<{ mountPath: string }>(hub.extraFiles).map(({ mountPath }) => mountPath);
    expect(files).toContain(hub.config.ListedPasswords.file);
    for (const file of files.filter((one) => one.endsWith(".py"))) {
      expect(path.dirname(file)).toBe(hub.extraEnv.PYTHONPATH);
      expect(existsSync(path.join(root, "scripts/class/server", path.basename(file)))).toBe(true);
    }
  });

  it("says which chart it is for, and gives it each file under its key", () => {
    const text = read("values.yaml");
    expect(text).toMatch(/helm upgrade .* --version '~\d+\.\d+\.\d+'/);
    const given = [...text.matchAll(/--set-file hub\.extraFiles\.(\w+)\.stringData=(\S+)/g)];
    expect(given.map(([, key]) => key)).toEqual(Object.keys(values().hub.extraFiles));
    for (const [, key, file] of given)
      expect(path.basename(values().hub.extraFiles[key].mountPath)).toBe(path.basename(file));
  });

  it("has an image recipe in which a Dockerfile's parser finds nothing wrong", () => {
    const told = (text: string) =>
      validate(text).map(({ message, range }) => `line ${range.start.line + 1}: ${message}`);
    expect(told(recipe)).toEqual([]);
    expect(told(recipe.replace("COPY . .", "COPY ."))).not.toEqual([]);
  });

  it("copies what is there, and all that its steps run", () => {
    const files = context(root, ignore);
    for (const { name, what } of steps(recipe)) {
      if (name !== "COPY" && name !== "ADD") continue;
      for (const source of what.split(/\s+/).slice(0, -1))
        expect(existsSync(path.join(root, source))).toBe(true);
    }
    const run = [...`${recipe}\n${read("start.sh")}`.matchAll(/(?<![\w-])(scripts\/[\w./-]+\.\w+)/g)];
    expect(run.length).toBeGreaterThan(3);
    for (const [, file] of run) expect(files).toContain(file);
    expect(files).toContain(path.posix.relative("/opt/evenground", values().singleuser.cmd[0]));
  });

  it("leaves out of the image whatever git leaves out, and what else a teacher may keep here", () => {
    const kept = readFileSync(path.join(root, ".gitignore"), "utf8")
      .split("\n")
      .filter(Boolean)
      .map((line) => line.replace(/^\/|\/$/g, "").replace("*", "x"));
    expect(kept.length).toBeGreaterThan(10);
    for (const name of kept) expect(`${name}: ${goesIn(ignore, `${name}/file`)}`).toBe(`${name}: false`);
    const own = [
      "names.txt",
      "passwords.txt",
      ".env",
      "class/state/passwords.json",
      "grading/key.json",
      ".git/config",
    ];
    for (const file of own) expect(`${file}: ${goesIn(ignore, file)}`).toBe(`${file}: false`);
    for (const file of context(root, ignore))
      expect(file).not.toMatch(
        /(^|\/)(node_modules|__pycache__|\.git|\.env|\.npmrc\..*|grading|tests)(\/|$)/,
      );
  });

  it("reads patterns as Docker does: from the root, for all below, the last that fits", () => {
    // https://docs.docker.com/build/concepts/context/#dockerignore-files
    const cases: [string, string, boolean][] = [
      ["class", "class/state/x", false],
      ["class", "scripts/class/x", true],
      ["**/node_modules", "node_modules/x", false],
      ["**/node_modules", "a/b/node_modules/x", false],
      ["dist*", "dist.old/x", false],
      ["*\n!lib", "lib/a/b.ts", true],
      ["*\n!lib", "library/a", false],
      ["*\n!lib\n**/secret", "lib/a/secret", false],
      ["# class\n\n/work/", "work/x", false],
    ];
    for (const [patterns, file, inside] of cases)
      expect(`${patterns} ${file}: ${goesIn(patterns, file)}`).toBe(`${patterns} ${file}: ${inside}`);
  });

  it("starts a server by scripts that a shell can read, may be run and are there", () => {
    for (const script of ["kubernetes/start.sh", "server/student.sh"]) {
      const file = path.join(folder, "..", script);
      const { status, stderr } = spawnSync("sh", ["-n", file], { encoding: "utf8" });
      expect(`${status} ${stderr}`).toBe("0 ");
      const { stdout } = spawnSync("git", ["ls-files", "-s", file], { cwd: root, encoding: "utf8" });
      expect(stdout).toMatch(/^100755 /);
    }
  });
});
