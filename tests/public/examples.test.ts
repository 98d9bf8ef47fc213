/** Every example of a public function's docstring is right: as types, as it runs, and in the value that it states. */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readDeclarations } from "../../scripts/book/reference/declarations";
import { ensureLibrary } from "../../scripts/setup/library.mjs";
import { examplesOf, run, typeFaults } from "./run-example";

await ensureLibrary();
const dist = path.resolve(__dirname, "..", "..", "dist");
const declarations = path.join(dist, "index.d.ts");
const library: object = require(dist);
const examples = examplesOf(readDeclarations(declarations));

const before = process.cwd();
const shown: string[] = [];
let scratch: string;
beforeAll(() => {
  scratch = mkdtempSync(path.join(tmpdir(), "examples "));
  process.chdir(scratch);
  // What a kernel leaves in the global scope for `show`.
  Object.assign(globalThis, {
    __tslab__: { require: () => ({ display: { html: (text: string) => shown.push(text) } }) },
  });
});
afterAll(() => {
  process.chdir(before);
  Reflect.deleteProperty(globalThis, "__tslab__");
  rmSync(scratch, { recursive: true, force: true });
});

describe("the library's examples", () => {
  it("are right as types", () => {
    expect(typeFaults(examples, declarations, Object.keys(library))).toEqual([]);
  });

  it.each(examples)("of $name runs, and gives what it says", async (example) => {
    shown.length = 0;
    expect(await run(example, library)).toBeUndefined();
    if (/(?<!\.)\bshow\(/.test(example.code)) expect(shown.length).toBeGreaterThan(0);
  });
});

describe("an example that is wrong is found", () => {
  const example = (code: string) => ({ name: "louder", code });
  const scope = {
    louder: (level: number) => level + 6.0206,
    bands: () => Float64Array.from([50, 63]),
    later: async () => "done",
  };

  it.each([
    "louder(0) // 6.02",
    "louder(0); // 6.0 dB",
    "louder(0) // 6",
    "const level: number = 10;\nlouder(level) // 16.0206",
    "louder(-20) // −13.98",
    "louder(1e5) // 1.00006e5",
    "bands() // [50, 63.0]",
    'await later() // "done"',
    'later() // "done"',
    "louder(0) > 6 // true",
    '[true, "a [1]", null] // [true, "a [1]", null]',
    "const level = louder(0); // no value",
    "louder(0)",
  ])("not where it is right: %s", async (code) => {
    expect(await run(example(code), scope)).toBeUndefined();
  });

  it.each([
    ["louder(0) // 6.03", "louder(0) is 6.0206, not 6.03"],
    ["louder(0) // 6.020", "louder(0) is 6.0206, not 6.020"],
    ["bands() // [50, 64]", /not \[50, 64\]/],
    ["bands() // [50]", /not \[50\]/],
    ['await later() // "Done"', /is 'done'/],
    ["louder(0) > 6 // false", /is true, not false/],
    ['"6.02" // 6.02', /is '6.02'/],
  ])("by its value: %s", async (code, fault) => {
    expect(await run(example(code), scope)).toMatch(fault);
  });

  it("by a value that can't be read", async () => {
    await expect(run(example("louder(0) // about 6"), scope)).rejects.toThrow('"// about 6" states no value');
  });

  it("by what it throws", async () => {
    await expect(run(example("louder(0);\nquieter(0)"), scope)).rejects.toThrow("quieter is not defined");
  });

  it("by its types, also in a cell that awaits", () => {
    const file = path.join(scratch, "louder.d.ts");
    writeFileSync(file, "export declare function louder(level: number): number;");
    const right = example("const level = await louder(0);\nlevel // 6.02");
    expect(typeFaults([right, right], file, ["louder"])).toEqual([]);
    expect(
      typeFaults([right, example('const level = 0;\nlouder("0")'), example("louder(")], file, ["louder"]),
    ).toEqual([
      "louder, line 2: Argument of type 'string' is not assignable to parameter of type 'number'.",
      "louder, line 1: ')' expected.",
    ]);
  });
});
