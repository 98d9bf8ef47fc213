import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { gzipSync } from "node:zlib";
import type { Browser, BrowserContext, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { browsers } from "./browsers";
import { watchedPage } from "./chromium";
import { type Served, serve } from "./serve";

const site = path.join(__dirname, "..", "..", "site");
const lesson = "jupyter/lab/index.html?path=01-one-show.ipynb";
let server: Served;
beforeAll(async () => {
  server = await serve(site);
});
afterAll(() => server?.close());

const idle = (page: Page) => page.getByText("TypeScript | Idle").waitFor();

async function open(page: Page, address = server.address): Promise<void> {
  await page.goto(address + lesson);
  await page.locator(".jp-Notebook .jp-Cell:visible").first().waitFor();
  await idle(page);
}

async function choose(page: Page, menu: string, item: string | RegExp): Promise<void> {
  await page.getByRole("menuitem", { name: menu, exact: true }).click();
  await page
    .getByRole("menuitem", { name: item, exact: typeof item === "string" })
    .first()
    .click();
}

/** JupyterLab holds only the cells in view. */
async function atTheEnd(page: Page, wanted: Locator): Promise<void> {
  const view = page.locator(".jp-NotebookPanel .jp-WindowedPanel-outer").first();
  await view.evaluate((element) => element.scrollTo({ top: element.scrollHeight }));
  const seen = async () => {
    if ((await wanted.count()) > 0) return true;
    await view.evaluate((element) => element.scrollBy({ top: -300 }));
    return false;
  };
  await expect.poll(seen, { timeout: 60_000, interval: 300 }).toBe(true);
}

/** A first cell with this code alone, run. */
async function runAbove(page: Page, code: string): Promise<Locator> {
  const view = page.locator(".jp-NotebookPanel .jp-WindowedPanel-outer").first();
  await view.evaluate((element) => element.scrollTo({ top: 0 }));
  await page.locator(".jp-Notebook .jp-Cell:visible").first().click();
  await page.keyboard.press("Escape");
  await page.keyboard.press("a");
  await page.keyboard.press("Enter");
  await page.keyboard.insertText(code);
  await page.keyboard.press("Control+Enter");
  return page.locator(".jp-Notebook .jp-Cell.jp-mod-active .jp-OutputArea-output").first();
}

it("begins with a page that leads to both ways", () => {
  const links = readFileSync(path.join(site, "index.html"), "utf8").matchAll(/<a href="([^"?]+)/g);
  for (const [, link] of links) expect(existsSync(path.join(site, link)), link).toBe(true);
});

describe.each(browsers)("the first lesson in JupyterLab without a server, in %s", (name, start) => {
  let browser: Browser;
  let context: BrowserContext;
  beforeAll(async () => {
    browser = await start();
    context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  });
  afterAll(() => browser?.close());

  it("opens with the kernel of its name, runs, and draws, from its own files alone", async () => {
    const { page, outward } = await watchedPage(context);
    page.setDefaultTimeout(60_000);
    const before = server.asked.length;
    await open(page);
    await page.locator(".jp-CodeCell:visible").first().click();
    await page.keyboard.press("Shift+Enter");
    await page.getByRole("button", { name: "Show me without a guess" }).first().click();
    await page.locator(".cartesianlayer .trace").first().waitFor();
    const loaded = new Set(server.asked.slice(before));
    await choose(page, "Run", "Run All Cells");
    const slider = page.getByRole("slider", { name: "Level of the subs" });
    await atTheEnd(page, slider);
    expect(
      await page.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr']").count(),
    ).toBe(0);
    // The heartbeat is for the service worker, which takes over at a page's second load: a slow machine meets it in the first.
    const own = /favicon|\/(lab|jupyter)\/jupyter-lite\.ipynb$|\/service-worker-heartbeat$/;
    expect({ outward, missing: server.missing.filter((one) => !own.test(one)) }).toEqual({
      outward: [],
      missing: [],
    });
    const bytes = [...loaded]
      .map((one) => path.join(site, one))
      .filter((file) => existsSync(file) && statSync(file).isFile());
    const sum = bytes.reduce((all, file) => all + gzipSync(readFileSync(file)).length, 0);
    console.log(
      `JupyterLite in ${name}: ${(sum / 1e6).toFixed(2)} MB compressed to the first figure, ${bytes.length} files`,
    );
    expect(sum).toBeLessThan(6_000_000);
    await page.close();
  });

  it("ends a loop that never ends with its kernel, keeps what a cell wrote, and lets nothing out", async () => {
    const { page } = await watchedPage(context);
    page.setDefaultTimeout(60_000);
    await open(page);
    await runAbove(page, "while (true) {}");
    await page.getByText("TypeScript | Busy").waitFor();
    await choose(page, "Kernel", /^Restart Kernel…/);
    await page.getByRole("button", { name: /Confirm Kernel Restart/ }).click();
    await idle(page);
    const wrote = await runAbove(
      page,
      `const { writeFileSync } = await import("node:fs");
writeFileSync("note.txt", "3 dB");
await (globalThis as any).fetch("http://127.0.0.1:9/").then(() => "sent", () => "refused")`,
    );
    await expect.poll(() => wrote.textContent(), { timeout: 60_000 }).toBe("refused\n");
    await page.getByRole("listitem", { name: /^Name: note\.txt/ }).waitFor();
    await page.close();
  });

  it("opens and draws from a folder of a web space, and again when the network is gone", async () => {
    const space = mkdtempSync(path.join(tmpdir(), "web space "));
    symlinkSync(site, path.join(space, "our course"));
    const own = await serve(space);
    const there = `${own.address}our%20course/`;
    const visitor = await browser.newContext({ viewport: { width: 1280, height: 900 } });
    const { page } = await watchedPage(visitor);
    page.setDefaultTimeout(60_000);
    await open(page, there);
    const kept = () =>
      page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.active?.state);
    await expect.poll(kept, { timeout: 120_000, interval: 1000 }).toBe("activated");
    await own.close();
    rmSync(space, { recursive: true });
    await page.reload();
    await page.locator(".jp-CodeCell:visible").first().click();
    await idle(page);
    await page.keyboard.press("Shift+Enter");
    await page.getByRole("button", { name: "Show me without a guess" }).first().click();
    await page.locator(".cartesianlayer .trace").first().waitFor();
    await visitor.close();
  });

  it("has the exercises that a class hands in, which run here too", async () => {
    // As a browser that was never here: JupyterLab would open the lesson of before beside it, and the first cell seen would be that one's.
    const own = await browser.newContext({ viewport: { width: 1280, height: 900 } });
    const { page } = await watchedPage(own);
    page.setDefaultTimeout(60_000);
    await page.goto(`${server.address}jupyter/lab/index.html?path=assignments/places.ipynb`);
    await page.locator(".jp-Notebook .jp-Cell:visible").first().waitFor();
    await idle(page);
    const works = await runAbove(page, "1 + 1");
    await expect.poll(() => works.textContent(), { timeout: 60_000 }).toBe("2\n");
    await own.close();
  });
});
