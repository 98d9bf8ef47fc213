import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { buildKernel } from "../../scripts/browser-kernel/build";
import type { BrowserKernel, startBrowserKernel } from "../../scripts/browser-kernel/page/kernel";
import { addOutput } from "../../scripts/notebook/add-output";
import { courseResults } from "../../scripts/notebook/course";
import { joined, type Notebook, type Output } from "../../scripts/notebook/format";
import { type Kernel, type Message, startKernel } from "../../scripts/notebook/kernel";
import { kernelCommand } from "../../scripts/setup/kernel.mjs";
import { inRoot } from "../../scripts/setup/places.mjs";
import { browsers } from "./browsers";
import { difference } from "./same-outputs";
import { type Served, serve } from "./serve";

/** What the page holds while a test looks at it. */
declare const evengroundKernel: typeof startBrowserKernel;
declare let kernel: BrowserKernel;
declare let written: Map<string, Uint8Array | undefined>;

const root = inRoot();
const site = mkdtempSync(path.join(tmpdir(), "browser kernel "));
const policy =
  "default-src 'none'; script-src 'self' 'unsafe-inline' 'unsafe-eval' blob:; worker-src 'self' blob:; connect-src 'none'";
let server: Served;
beforeAll(async () => {
  await buildKernel(path.join(site, "kernel"));
  writeFileSync(
    path.join(site, "index.html"),
    `<!doctype html><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="${policy.replace("'self'", "'self' file:")}"><title>Kernel</title><script src="kernel/client.js"></script>`,
  );
  server = await serve(site);
});
afterAll(async () => {
  await server?.close();
  rmSync(site, { recursive: true, force: true });
});

/** A page with a kernel that answers. */
async function kernelPage(browser: Browser, address: string): Promise<Page> {
  const page = await browser.newPage();
  await page.goto(address);
  await startIn(page);
  return page;
}

const startIn = (page: Page) =>
  page.evaluate(async () => {
    written = new Map();
    const base = new URL("kernel/", location.href).href;
    kernel = await evengroundKernel({ base, onFile: (file, bytes) => written.set(file, bytes) });
  });

/** What a cell puts out, and its status. */
async function run(page: Page, code: string): Promise<{ status: string; outputs: Output[] }> {
  const { status, messages } = await page.evaluate(async (source) => {
    const told: Message[] = [];
    return { status: await kernel.execute(source, (message) => told.push(message)), messages: told };
  }, code);
  return { status, outputs: outputsOf(messages) };
}

function outputsOf(messages: readonly Message[]): Output[] {
  const outputs: Output[] = [];
  for (const message of messages) addOutput(outputs, new Map(), message);
  return outputs;
}

const said = (outputs: readonly Output[]) => outputs.map((output) => joined(output.text)).join("");

/** Lessons as the installed kernel ran them; `npm run course` comes first. */
const lessons = readdirSync(courseResults).filter((file) => file.endsWith(".ipynb"));
/** Where either kernel has the course and runs. */
const folders = [courseResults, root, "/course"];

async function differences(page: Page, lesson: string): Promise<object[]> {
  const { cells }: Notebook = JSON.parse(readFileSync(path.join(courseResults, lesson), "utf8"));
  const found: object[] = [];
  for (const [i, cell] of cells.entries()) {
    if (cell.cell_type !== "code") continue;
    const { outputs } = await run(page, joined(cell.source));
    const apart = difference(outputs, cell.outputs, folders);
    if (apart) found.push({ cell: i + 1, ...apart });
  }
  return found;
}

describe("every lesson", () => {
  const opened: Browser[] = [];
  beforeAll(async () => {
    for (const [, open] of browsers) opened.push(await open());
  });
  afterAll(() => Promise.all(opened.map((browser) => browser.close())));

  // Firefox computes by an engine of its own; Chromium has that of Node.js, and runs three of them. Both at once: each computes in one thread.
  const inChromium = /^(01|04|12)-/;
  it.each(lessons)("%s gives the same outputs in browsers as in the installed kernel", async (lesson) => {
    const some = opened.filter((_, i) => browsers[i][0] === "Firefox" || inChromium.test(lesson));
    const found = some.map(async (browser) => {
      const page = await kernelPage(browser, server.address);
      const apart = await differences(page, lesson);
      await page.close();
      return apart;
    });
    expect(await Promise.all(found)).toEqual(some.map(() => []));
  });
});

describe.each(browsers)("the kernel in %s", (_, open) => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await open();
  });
  afterAll(() => browser?.close());

  it("says the same of errors, names and calls as the installed kernel", async () => {
    const installed = await startKernel(kernelCommand, root);
    const page = await kernelPage(browser, server.address);
    // Getting ready leaves no trace.
    await page.evaluate(() => kernel.warm());
    for (const code of cellsThatFail) {
      expect({ code, ...(await run(page, code)) }).toEqual({ code, ...(await inInstalled(installed, code)) });
    }
    for (const [type, content] of questions) {
      const here = await page.evaluate(([t, c]) => kernel.reply(t, c), [type, content] as const);
      expect(here).toEqual(await installed.reply(type, content));
    }
    await installed.stop();
    await page.close();
  });

  it("ends a loop that never ends, and the page stays and starts another", async () => {
    const page = await kernelPage(browser, server.address);
    const status = await page.evaluate(async () => {
      const endless = kernel.execute("while (true) {}", () => {});
      await new Promise((rest) => setTimeout(rest, 300));
      await kernel.stop();
      return endless;
    });
    expect(status).toBe("dead");
    await startIn(page);
    expect(said((await run(page, "1 + 1")).outputs)).toBe("2\n");
    await page.close();
  });

  it("keeps what a cell writes, for the next kernel too where the page hands it on", async () => {
    const page = await kernelPage(browser, server.address);
    const node = 'const { mkdirSync, readFileSync, readdirSync, writeFileSync } = await import("node:fs");';
    await run(page, `${node} mkdirSync("mine"); writeFileSync("mine/note.txt", "±0.5 dB");`);
    const read = `${node} console.log(readFileSync("mine/note.txt", "utf8"), readdirSync("mine").length);`;
    expect(said((await run(page, read)).outputs)).toBe("±0.5 dB 1\n");
    await page.evaluate(async () => {
      const kept = written;
      await kernel.stop();
      kernel = await evengroundKernel({ base: new URL("kernel/", location.href).href });
      for (const [file, bytes] of kept) if (bytes) kernel.give(file, bytes);
    });
    expect(said((await run(page, read)).outputs)).toBe("±0.5 dB 1\n");
    await page.close();
  });

  it("starts from a disk, with recordings and packages, and may ask for nothing else", async () => {
    const page = await kernelPage(browser, pathToFileURL(path.join(site, "index.html")).href);
    const lesson = lessons.find((file) => file.startsWith("02-")) ?? "";
    expect(await differences(page, lesson)).toEqual([]);
    const recording = `import { read } from "evenground"; read.wav("/course/data/shows/harbour-theatre/match.wav").sampleRate`;
    expect(said((await run(page, recording)).outputs)).toMatch(/^\d{5}\n$/);
    const outward = `const there = "http://127.0.0.1:9/";
const { fetch, importScripts } = globalThis as any;
try { importScripts(there); console.log("sent"); } catch {}
await fetch(there).then(() => "sent", () => "refused")`;
    expect(said((await run(page, outward)).outputs)).toBe("refused\n");
    await page.close();
  });

  it("has asked its server for its own parts alone, each when it was wanted", () => {
    const own = /^\/(index\.html|favicon\.ico|kernel\/[\w-]+\.js)?$/;
    expect(server.asked.filter((one) => !own.test(one))).toEqual([]);
    expect(server.asked).toContain("/kernel/mathjs.js");
  });
});

const cellsThatFail = [
  'import { read, predict } from "evenground";',
  "const a: string = 5;",
  "console.log(nothing, atAll);",
  "function inner() { throw new Error('too far'); }\nconst outer = () => inner();\nouter();",
  'read.venue("harbour-theater")',
  "predict.survey(undefined as never, [])",
  "await Promise.reject(new RangeError('late'))",
];

const questions: readonly (readonly [string, object])[] = [
  ["complete_request", { code: "read.ve", cursor_pos: 7 }],
  ["complete_request", { code: 'read.venue("harb', cursor_pos: 16 }],
  ["inspect_request", { code: "read.venue", cursor_pos: 8 }],
  ["inspect_request", { code: "predict.survey(", cursor_pos: 15 }],
];

async function inInstalled(kernel: Kernel, code: string) {
  const messages: Message[] = [];
  let status = "abort";
  // After a failed cell it drops what comes for a moment.
  while (status === "abort") {
    status = await kernel.execute(code, (message) => messages.push(message));
    if (status === "abort") await new Promise((rest) => setTimeout(rest, 100));
  }
  return { status, outputs: outputsOf(messages) };
}
