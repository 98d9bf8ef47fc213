import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
// @ts-expect-error  plain JavaScript, as it runs before anything is built
import { executeNotebook } from "../../scripts/notebook/execute.mjs";
// @ts-expect-error  as above
import { kernelCommand } from "../../scripts/setup/kernel.mjs";

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "cells "));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** What each cell printed; a cell whose code begins with a comment "fails" may do so. */
async function print(...cells: string[]): Promise<string[]> {
  const notebook = {
    cells: cells.map((source) => ({
      cell_type: "code",
      metadata: { tags: source.startsWith("// fails") ? ["raises-exception"] : [] },
      source,
      outputs: [],
    })),
  };
  const ran = await executeNotebook(notebook, { argv: kernelCommand, folder });
  expect(ran.failure).toBeUndefined();
  return ran.notebook.cells.map((cell: { outputs: { text: string }[] }) =>
    cell.outputs.map((output) => output.text).join(""),
  );
}

describe("a cell", () => {
  it("may shorten { a: a } to { a } for a variable of an earlier cell, and for its own, and in a function", async () => {
    const [, earlier, inner, own, target] = await print(
      "const a = 5; let b = 3;",
      "console.log(JSON.stringify({ a, b }));",
      "console.log(JSON.stringify([((a) => ({ a }))(9), [1].map((b) => ({ a, b }))]));",
      "const a = 6; console.log(JSON.stringify({ a }));",
      "({ b } = { b: 8 }); console.log(b);",
    );
    expect(earlier).toBe('{"a":5,"b":3}\n');
    expect(inner).toBe('[{"a":9},[{"a":5,"b":1}]]\n');
    expect(own).toBe('{"a":6}\n');
    expect(target).toBe("8\n");
  });

  it("run before the one that it needs says so in two lines: what went wrong, and what to do", async () => {
    const printed = await print(
      "// fails\nconsole.log(venue);",
      "// fails\nconst options = { venue };",
      "// fails\n(undefined as any).venue;",
    );
    const remedy = "Nothing here is called venue yet: run the cell above that makes it, then this one again.";
    for (const text of printed) expect(text.trimEnd().split("\n")).toHaveLength(2);
    expect(printed[0]).toBe(`line 2: Cannot find name 'venue'.\n${remedy}\n`);
    expect(printed[1]).toContain(remedy);
    expect(printed[2]).toMatch(/^TypeError: .*\n.*run the cells above in their order/);
  });
});
