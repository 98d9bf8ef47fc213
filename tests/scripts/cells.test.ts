import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { executeNotebook } from "../../scripts/notebook/execute";
import { joined } from "../../scripts/notebook/format";
import { kernelCommand } from "../../scripts/setup/kernel.mjs";

import { ensureSnapshot, quickKernelCommand } from "../../scripts/setup/snapshot.mjs";
import { linkModules } from "../../scripts/work/folder.mjs";

let folder: string;
beforeAll(async () => {
  await ensureSnapshot();
  folder = mkdtempSync(path.join(tmpdir(), "cells "));
  linkModules(folder);
  // The library may be built anew beside these tests.
  process.env.EVENGROUND_LIBRARY_STAMP = path.join(folder, "stamp");
  copyFileSync("dist/.stamp", path.join(folder, "stamp"));
}, 120_000);
afterAll(() => {
  delete process.env.EVENGROUND_LIBRARY_STAMP;
  rmSync(folder, { recursive: true, force: true });
});

/** Both ways in which a kernel starts. */
const starts: readonly [string, () => string[]][] = [
  ["from its files", () => kernelCommand],
  ["from the snapshot", quickKernelCommand],
];

/** What each cell printed; a cell whose code begins with a comment "fails" may do so. */
async function printIn(folder: string, cells: readonly string[], argv: string[]): Promise<string[]> {
  const notebook = {
    cells: cells.map((source) => ({
      cell_type: "code",
      metadata: { tags: source.startsWith("// fails") ? ["raises-exception"] : [] },
      source,
      outputs: [],
    })),
  };
  const ran = await executeNotebook(notebook, { argv, folder });
  expect(ran.failure).toBeUndefined();
  return ran.notebook.cells.map((cell) => cell.outputs.map((output) => joined(output.text)).join(""));
}

describe.each(starts)("a cell of a kernel that starts %s", (_, command) => {
  const print = (...cells: string[]) => printIn(folder, cells, command());

  it("may shorten { a } to { a } for a variable of an earlier cell, and for its own, and in a function", async () => {
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
      "// fails\nconsole.log(venue, positions);\nconsole.log(survey, venue);",
    );
    const remedy = "Nothing here is called venue yet: run the cell above that makes it, then this one again.";
    for (const text of printed) expect(text.trimEnd().split("\n")).toHaveLength(2);
    expect(printed[0]).toBe(`line 2: Cannot find name 'venue'.\n${remedy}\n`);
    expect(printed[1]).toContain(remedy);
    expect(printed[2]).toMatch(/^TypeError: .*\n.*run the cells above in their order/);
    expect(printed[3]).toMatch(
      /^line 2: Cannot find 'venue', 'positions', 'survey'\.\n.*the cells above that make them/,
    );
  });

  it("that fails after the course was updated under its kernel says to start the kernel again; one that works goes on", async () => {
    copyFileSync("dist/.stamp", path.join(folder, "stamp"));
    const printed = await print(
      'import { writeFileSync } from "fs"; import { acoustics } from "evenground";',
      "// fails\n(undefined as any).venue;",
      'writeFileSync("stamp", "two"); console.log(acoustics.level.ofPower(10));',
      "// fails\n(undefined as any).venue;",
      "// fails\nconsole.log(venue);",
    );
    const said =
      "The course has been updated since this kernel started: choose Kernel, Restart Kernel and Run All Cells.";
    expect(printed[1]).not.toContain(said);
    expect(printed[2]).toBe("10\n");
    for (const text of printed.slice(3)) {
      expect(text).toContain(said);
      expect(text.trimEnd().split("\n")).toHaveLength(2);
    }
  });

  it("goes on as before while a package that it has loaded is exchanged on the disk", async () => {
    const position = mkdtempSync(path.join(tmpdir(), "exchange "));
    for (const name of ["node_modules/little", "newer"]) {
      mkdirSync(path.join(position, name), { recursive: true });
      writeFileSync(
        path.join(position, name, "package.json"),
        '{ "name": "little", "main": "index.js", "types": "index.d.ts" }',
      );
      writeFileSync(path.join(position, name, "index.js"), `exports.size = ${name.length};`);
      writeFileSync(path.join(position, name, "index.d.ts"), "export declare const size: number;");
    }
    const wait = "await new Promise((resolve) => setTimeout(resolve, 400));";
    const exchange =
      'renameSync("node_modules/little", "older"); renameSync("newer", "node_modules/little");';
    const printed = await printIn(
      position,
      [
        'import { renameSync } from "fs"; import { size } from "little"; console.log(size);',
        `${exchange} ${wait}`,
        ...Array.from({ length: 4 }, () => `console.log(size); ${wait}`),
      ],
      command(),
    );
    rmSync(position, { recursive: true });
    expect(printed.filter(Boolean)).toEqual(Array(5).fill("19\n"));
  });

  it("has mathjs in one file, and a data frame has the same", async () => {
    const [read] = await print(
      'import { dataFrame } from "evenground"; import { std, unit } from "mathjs";\n' +
        "await dataFrame([{ a: 1 }]);\n" +
        'console.log(std(2, 4, 6), unit("1 km").toNumber("m"));\n' +
        'console.log(Object.keys(require("module")._cache).filter((file) => /[\\\\/]mathjs[\\\\/]/.test(file)).length);',
    );
    expect(read).toBe("2 1000\n1\n");
  });

  it("that gives the library a value which it can't take is told where, in one line", async () => {
    const [, printed] = await print(
      'import { decide } from "evenground"; let survey;',
      "// fails\ndecide.offset(survey);",
    );
    expect(printed).toMatch(
      /^RangeError: decide\.offset\(\): survey is undefined, expected an object with .*; run the cell that makes it, then this one again\n$/,
    );
  });
});

describe("the snapshot", () => {
  it("is there, on each Node.js that can make one", () => {
    expect(quickKernelCommand()).toContain("--snapshot-blob");
  });

  it("gives no two kernels the same random numbers, and each its own time, folder and environment", async () => {
    const cell = `import { randomUUID } from "crypto"; import { acoustics } from "evenground";
console.log([Math.random(), randomUUID(), process.pid, Math.abs(Date.now() - ${Date.now()}) < 600000, process.cwd(), process.env.EVENGROUND_LIBRARY_STAMP, acoustics.level.ofPower(10)].join("|"));`;
    const [[one], [two]] = await Promise.all([1, 2].map(() => printIn(folder, [cell], quickKernelCommand())));
    const [a, b] = [one, two].map((text) => text.trim().split("|"));
    for (const i of [0, 1, 2]) expect(a[i]).not.toBe(b[i]);
    for (const each of [a, b])
      expect(each.slice(3)).toEqual(["true", folder, path.join(folder, "stamp"), "10"]);
  });

  it("gives the library as it was loaded, unless that has been built anew since: then a kernel reads what lies there", async () => {
    const cells = [
      'import { acoustics } from "evenground"; console.log(acoustics.level.ofPower(100));',
      'const { cache, resolve } = require as any; console.log(cache[resolve("evenground")].paths ? "read" : "given");',
    ];
    const said = [];
    for (const stamp of [readFileSync("dist/.stamp", "utf8"), "another"]) {
      writeFileSync(path.join(folder, "stamp"), stamp);
      said.push((await printIn(folder, cells, quickKernelCommand())).join(""));
    }
    expect(said).toEqual(["20\ngiven\n", "20\nread\n"]);
  });
});
