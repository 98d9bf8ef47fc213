import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { seriousFindings } from "./accessibility";
import { browsers } from "./browsers";
import { type Served, serve } from "./serve";

const root = path.join(__dirname, "..", "..");
const book = path.join(root, "book");
const lesson = "02-level-and-distance.html";
const place = mkdtempSync(path.join(tmpdir(), "run book "));
let server: Served;
beforeAll(async () => {
  server = await serve(book);
});
afterAll(async () => {
  await server?.close();
  rmSync(place, { recursive: true, force: true });
});

const cell = (page: Page, number: number) => page.locator("section.cell").nth(number - 1);
const status = (page: Page) => page.getByRole("status").first();
const press = (page: Page, name: string) => page.getByRole("button", { name, exact: true }).click();
const untilDone = (page: Page, words: RegExp) =>
  expect.poll(() => status(page).textContent(), { timeout: 60_000 }).toMatch(words);

/** Writes a cell anew by the keyboard. */
async function write(page: Page, number: number, code: string): Promise<void> {
  const change = page.getByRole("button", { name: `Edit cell ${number}`, exact: true });
  await change.focus();
  await page.keyboard.press("Enter");
  const field = page.getByRole("textbox", { name: `Code of cell ${number}` });
  await expect.poll(() => field.evaluate((one) => one === document.activeElement)).toBe(true);
  await page.keyboard.press("Control+a");
  await page.keyboard.press("Delete");
  await page.keyboard.insertText(code);
}

describe.each(browsers)("a lesson of the book in %s", (name, open) => {
  let browser: Browser;
  let context: BrowserContext;
  beforeAll(async () => {
    browser = await open();
    context = await browser.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true });
  });
  afterAll(() => browser?.close());

  it("runs a cell with all before it, draws its figure anew, and says so", async () => {
    const page = await context.newPage();
    await page.goto(server.address + lesson);
    await press(page, "Run with all before, cell 3");
    await untilDone(page, /^3 cells have run\.$/);
    expect(await page.locator("section.cell .said.error").count()).toBe(0);
    await cell(page, 1).getByRole("button", { name: "Show me without a guess" }).click();
    const drawn = cell(page, 1).locator(".cartesianlayer .trace");
    await expect.poll(() => drawn.count(), { timeout: 30_000 }).toBeGreaterThan(0);
    await page.close();
  });

  it("is changed, run, kept and set back by keyboard alone", async () => {
    const page = await context.newPage();
    await page.goto(server.address + lesson);
    await write(page, 2, 'console.log("mine:", 20 * Math.log10(2));');
    await page.keyboard.press("Shift+Enter");
    await untilDone(page, /The cell has run/);
    expect(await cell(page, 2).locator(".said").textContent()).toMatch(/^mine: 6\.02/);

    await page.reload();
    await untilDone(page, /^Your work of last time is here/);
    expect(await cell(page, 2).locator("pre.code").textContent()).toContain("mine:");
    expect(await cell(page, 2).locator(".said").textContent()).toMatch(/^mine: 6\.02/);
    await press(page, "Set back cell 2 to the course's code");
    expect(await cell(page, 2).locator("pre.code").textContent()).not.toContain("mine:");
    await page.close();
  });

  it("stops a cell that never ends, and runs again", async () => {
    const page = await context.newPage();
    await page.goto(server.address + lesson);
    await write(page, 1, "while (true) {}");
    await page.keyboard.press("Shift+Enter");
    await untilDone(page, /Cell 1 of \d+ runs/);
    await press(page, "Stop");
    await untilDone(page, /^Stopped/);
    await write(page, 1, "1 + 1");
    await page.keyboard.press("Shift+Enter");
    await untilDone(page, /The cell has run/);
    expect(await cell(page, 1).locator(".said").textContent()).toBe("2\n");
    await press(page, "Set back cell 1 to the course's code");
    await page.close();
  });

  it("says which cell failed, and what to do", async () => {
    const page = await context.newPage();
    await page.goto(server.address + lesson);
    await write(page, 1, "nothingOfThisName + 1");
    await page.keyboard.press("Shift+Enter");
    await untilDone(page, /^Cell 1 failed/);
    expect(await cell(page, 1).locator(".said.error").textContent()).toContain(
      "run the cell above that makes it",
    );
    await press(page, "Set back cell 1 to the course's code");
    await page.close();
  });

  it("asks for nothing but the book's own files", async () => {
    const page = await context.newPage();
    await page.goto(server.address + lesson);
    const before = server.asked.length;
    await write(
      page,
      1,
      `const there = "http://127.0.0.1:9/";
const { fetch, importScripts } = globalThis as any;
try { importScripts(there); console.log("sent"); } catch {}
await fetch(there).then(() => "sent", () => "refused")`,
    );
    await page.keyboard.press("Shift+Enter");
    await untilDone(page, /The cell has run/);
    expect(await cell(page, 1).locator(".said").textContent()).toBe("refused\n");
    const fromPage = await page.evaluate(() =>
      fetch("http://127.0.0.1:9/").then(
        () => "sent",
        () => "refused",
      ),
    );
    expect(fromPage).toBe("refused");
    const own = readdirSync(book, { recursive: true }).map(
      (file) => `/${String(file).split(path.sep).join("/")}`,
    );
    expect(server.asked.slice(before).filter((one) => !own.includes(one))).toEqual([]);
    await press(page, "Set back cell 1 to the course's code");
    await page.close();
  });

  it("opens from a disk, runs and draws there, on a phone's width too", async () => {
    const page = await context.newPage();
    await page.setViewportSize({ width: 390, height: 800 });
    await page.goto(pathToFileURL(path.join(book, "01-one-show.html")).href);
    await press(page, "Run with all before, cell 2");
    await untilDone(page, /^2 cells have run\.$/);
    const wide = () => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(await wide()).toBeLessThanOrEqual(0);
    await page.close();
  });

  if (name !== "Chromium") return;
  // What follows needs what only this browser's driver does: downloads, the network cut, files chosen.

  it("is saved as a notebook that Jupyter opens, and opened from one", async () => {
    const page = await context.newPage();
    await page.goto(server.address + lesson);
    await write(page, 3, 'console.log("saved");');
    await page.keyboard.press("Shift+Enter");
    await untilDone(page, /The cell has run/);
    const saving = page.waitForEvent("download");
    await press(page, "Save as notebook");
    const file = path.join(place, "saved.ipynb");
    await (await saving).saveAs(file);
    const saved = JSON.parse(readFileSync(file, "utf8"));
    expect([saved.nbformat, saved.metadata.kernelspec.name]).toEqual([4, "tslab"]);
    const codes = saved.cells.filter((one: { cell_type: string }) => one.cell_type === "code");
    expect(codes[2]).toMatchObject({
      source: 'console.log("saved");',
      outputs: [{ output_type: "stream", text: "saved\n" }],
    });
    await press(page, "Set back cell 3 to the course's code");

    codes[2].source = 'console.log("opened");';
    codes[2].outputs = [
      { output_type: "display_data", metadata: {}, data: { "text/html": "<img src=x onerror=alert(1)>" } },
    ];
    writeFileSync(file, JSON.stringify(saved));
    await page.locator('input[accept^=".ipynb"]').setInputFiles(file);
    await untilDone(page, /is open/);
    expect(await cell(page, 3).getByRole("textbox").textContent()).toContain("opened");
    expect(await page.locator("img[src=x]").count()).toBe(0);

    writeFileSync(file, JSON.stringify({ cells: [] }));
    await page.locator('input[accept^=".ipynb"]').setInputFiles(file);
    await untilDone(page, /^That notebook has 0 code cells, this lesson \d+/);
    await page.close();
  });

  it("reads recordings from a folder of the reader's, and gives out what a cell writes", async () => {
    const folder = path.join(place, "my-show");
    mkdirSync(folder);
    copyFileSync(
      path.join(root, "data", "shows", "harbour-theatre", "match.wav"),
      path.join(folder, "match.wav"),
    );
    const page = await context.newPage();
    await page.goto(server.address + lesson);
    await page.locator("input[webkitdirectory]").setInputFiles(folder);
    await untilDone(page, /1 files? can be read/);
    await write(
      page,
      1,
      `import { read } from "evenground";
const { writeFileSync } = await import("node:fs");
writeFileSync("note.txt", String(read.wav("my-show/match.wav").sampleRate));`,
    );
    await page.keyboard.press("Shift+Enter");
    await untilDone(page, /The cell has run/);
    const saving = page.waitForEvent("download");
    await page.getByText("Files that cells wrote: 1").click();
    await press(page, "Download note.txt");
    expect(readFileSync(await (await saving).path(), "utf8")).toMatch(/^\d{5}$/);
    await page.close();
  });

  it("opens and runs without a network after the first visit", async () => {
    const page = await context.newPage();
    await page.goto(server.address + lesson);
    await expect
      .poll(() => page.evaluate(() => navigator.serviceWorker.controller !== null), { timeout: 120_000 })
      .toBe(true);
    await context.setOffline(true);
    await page.goto(`${server.address}03-mains-and-subs.html`);
    await press(page, "Run cell 1");
    await untilDone(page, /The cell has run/);
    await context.setOffline(false);
    await page.close();
  });

  it("is within everyone's reach while a cell is edited, at a desk and on a phone", async () => {
    const page = await context.newPage();
    await page.goto(server.address + lesson);
    await write(page, 1, "const level = 97; // dB");
    for (const width of [1280, 390]) {
      await page.setViewportSize({ width, height: 900 });
      expect(await seriousFindings(page)).toEqual([]);
    }
    await press(page, "Set back cell 1 to the course's code");
    await page.close();
  });
});
