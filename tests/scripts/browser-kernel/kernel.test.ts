import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { gzipSync } from "node:zlib";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { buildKernel } from "../../../scripts/browser-kernel/build";
import { addOutput } from "../../../scripts/notebook/add-output";
import { joined, type Output } from "../../../scripts/notebook/format";
import { kernelInNode } from "./in-node";

const folder = mkdtempSync(path.join(tmpdir(), "browser kernel "));
let kernel: Awaited<ReturnType<typeof kernelInNode>>;
beforeAll(async () => {
  await buildKernel(folder);
  kernel = await kernelInNode(folder);
}, 60_000);
afterAll(async () => {
  await kernel?.stop();
  rmSync(folder, { recursive: true, force: true });
});

async function print(code: string): Promise<string> {
  const outputs: Output[] = [];
  await kernel.execute(code, (message) => addOutput(outputs, new Map(), message));
  return outputs.map((output) => joined(output.text)).join("");
}

describe("the browser's kernel", () => {
  it("lets later cells see the names of earlier ones, declare them anew, and wait at the top", async () => {
    await print("const level = await Promise.resolve(97);");
    expect(await print("level + 1")).toBe("98\n");
    await print('const level = "loud";');
    expect(await print("level.length")).toBe("4\n");
  });

  it("checks types, against the library's too", async () => {
    expect(await print("const level: number = 'loud';")).toBe(
      "line 1: Type 'string' is not assignable to type 'number'.\n",
    );
    expect(await print('import { read } from "evenground";\nread.venue(5);')).toMatch(/^line 2: /);
  });

  it("prints values as Node.js does", async () => {
    const text = await print(
      "console.log([1.5, -0], { a: [{ b: { c: {} } }] }, new Map([[1, 'x']]), '%d dB', 3)",
    );
    expect(text).toBe("[ 1.5, -0 ] { a: [ { b: [Object] } ] } Map(1) { 1 => 'x' } %d dB 3\n");
  });

  it("reads the course's files, whole and in slices, and folders", async () => {
    const size = readFileSync("data/shows/harbour-theatre/match.wav").length;
    const cell = `const fs = await import("node:fs");
const file = "/course/data/shows/harbour-theatre/match.wav";
const handle = fs.openSync(file);
const head = new Uint8Array(4);
fs.readSync(handle, head, 0, 4, 0);
fs.closeSync(handle);
console.log(fs.statSync(file).size, Buffer.from(head).toString("latin1"), fs.readdirSync("/course/data/venues").length);`;
    expect(await print(cell)).toBe(`${size} RIFF ${readdirSync("data/venues").length}\n`);
    expect(await print('fs.readFileSync("none.txt")')).toMatch(
      /^Error: ENOENT: no such file or directory, open '\/course\/none.txt'/,
    );
  });

  it("tells the page what a cell writes, and takes what was written before", async () => {
    await print('const { writeFileSync } = await import("node:fs"); writeFileSync("mine.txt", "3 dB");');
    const [{ path: file, bytes }] = kernel.files;
    expect([file, new TextDecoder().decode(bytes)]).toEqual(["/course/mine.txt", "3 dB"]);
    kernel.give("/course/mine.txt", new TextEncoder().encode("4 dB"));
    expect(await print('fs.readFileSync("mine.txt", "utf8")')).toBe("4 dB\n");
  });

  it("loads mathjs and data frames when a cell wants them", async () => {
    expect(await print('import { evaluate } from "mathjs"; evaluate("2 m to cm").toString()')).toBe(
      "200 cm\n",
    );
    const frame = `import { dataFrame } from "evenground";
const rows = await dataFrame([{ row: "F", level: 97 }, { row: "A", level: 101.5 }]);
rows.sortValues("level", { ascending: false }).values`;
    expect(await print(frame)).toBe("[ [ 'A', 101.5 ], [ 'F', 97 ] ]\n");
  });

  it("completes and explains", async () => {
    await print('import { read } from "evenground";');
    const completed = await kernel.reply("complete_request", { code: "read.ve", cursor_pos: 7 });
    expect(completed.matches).toEqual(["venue", "venueText"]);
    const told = await kernel.reply("inspect_request", { code: "read.venue", cursor_pos: 8 });
    expect(JSON.stringify(told.data)).toContain("A venue from its file");
  });

  it("weighs little until its first cell has run", () => {
    const parts = ["client", "kernel", "library"].map((name) =>
      readFileSync(path.join(folder, `${name}.js`)),
    );
    const bytes = parts.reduce((sum, part) => sum + gzipSync(part).length, 0);
    expect(bytes).toBeLessThan(1_700_000);
  });
});
