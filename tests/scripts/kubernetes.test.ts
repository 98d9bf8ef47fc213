/** The deployment on several machines can't be run here; its files are read by parsers of their languages. */
import { spawnSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { validate } from "dockerfile-utils";
import { describe, expect, it } from "vitest";
import { parseDocument } from "yaml";

const root = path.join(__dirname, "..", "..");
const folder = path.join(root, "scripts", "class", "kubernetes");
const read = (name: string) => readFileSync(path.join(folder, name), "utf8");

/** Top-level keys of the chart's values, "Zero to JupyterHub" 4 (from memory of its reference page). */
const chartKeys = [
  "custom",
  "cull",
  "debug",
  "fullnameOverride",
  "global",
  "hub",
  "imagePullSecret",
  "imagePullSecrets",
  "ingress",
  "nameOverride",
  "prePuller",
  "proxy",
  "rbac",
  "scheduling",
  "singleuser",
];

describe("the deployment on Kubernetes", () => {
  it("has values that are YAML without errors, warnings or keys given twice, under keys that the chart knows", () => {
    const document = parseDocument(read("values.yaml"), { strict: true, uniqueKeys: true });
    expect([...document.errors, ...document.warnings]).toEqual([]);
    const values = document.toJS();
    for (const key of Object.keys(values)) expect(chartKeys).toContain(key);
    expect(values.proxy.https.enabled).toBe(true);
    expect(values.hub.config.Authenticator.allow_existing_users).toBe(false);
    for (const { mountPath } of Object.values<{ mountPath: string }>(values.hub.extraFiles))
      expect(
        mountPath.endsWith(".json") ||
          existsSync(path.join(root, "scripts/class/server", path.basename(mountPath))),
      ).toBe(true);
  });

  it("has an image recipe in which a Dockerfile's parser finds nothing wrong, and copies from what is there", () => {
    const recipe = read("Dockerfile");
    expect(validate(recipe).map(({ message, range }) => `line ${range.start.line + 1}: ${message}`)).toEqual(
      [],
    );
    for (const [, file] of recipe.matchAll(/(scripts\/[\w./-]+)/g))
      expect(existsSync(path.join(root, file))).toBe(true);
  });

  it("starts a server by scripts that a shell can read and that are there", () => {
    for (const script of ["kubernetes/start.sh", "server/student.sh"]) {
      const { status, stderr } = spawnSync("sh", ["-n", path.join(folder, "..", script)], {
        encoding: "utf8",
      });
      expect(`${status} ${stderr}`).toBe("0 ");
    }
  });
});
