import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { openBrowser, watchedPage } from "./chromium";

const root = path.join(__dirname, "..", "..");
const work = mkdtempSync(path.join(tmpdir(), "lab test "));
const lesson = "01-one-show.ipynb";
let browser: Browser;
let course: ChildProcess;
let address: string;

beforeAll(async () => {
  browser = await openBrowser();
  course = spawn(process.execPath, [path.join(root, "scripts", "start.mjs"), "--no-browser"], {
    env: { ...process.env, EVENGROUND_WORK: work, INIT_CWD: work },
    stdio: ["ignore", "pipe", "inherit"],
  });
  address = await new Promise((resolve, reject) => {
    let said = "";
    course.stdout?.on("data", (chunk) => {
      said += chunk;
      const [found] = /http:\/\/\S+token=\w+/.exec(said) ?? [];
      if (found) resolve(found);
    });
    course.once("exit", () => reject(new Error(`the start ended without an address:\n${said}`)));
  });
});
afterAll(async () => {
  await browser?.close();
  if (course?.exitCode === null) {
    course.kill("SIGINT");
    await once(course, "exit");
  }
  rmSync(work, { recursive: true, force: true });
});

describe("the first lesson in JupyterLab", () => {
  it("runs, its panel follows the keyboard, and both are alive again when the saved notebook is reopened", async () => {
    const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
    const { page, outward } = await watchedPage(context);
    page.setDefaultTimeout(120_000);
    await openLesson(page);
    await runAll(page);

    const slider = await atTheEnd(page, page.getByRole("slider", { name: "Level of the subs" }));
    const words = page.locator(".evenground-words");
    const before = await words.textContent();
    expect(before).toMatch(/^Subs at 0\.0 dB: \d+ of 100 people/);
    await slider.focus();
    // Up and down are the notebook's own keys as well, for going from cell to cell.
    for (const key of ["ArrowRight", "ArrowUp", "ArrowRight", "ArrowDown", "ArrowUp", "ArrowRight"])
      await page.keyboard.press(key);
    await expect.poll(() => words.textContent(), { timeout: 10_000 }).toMatch(/^Subs at \+2\.0 dB/);
    expect(await slider.evaluate((element) => element === document.activeElement)).toBe(true);

    const sizeBefore = statSync(path.join(work, lesson)).size;
    await page.keyboard.press("Control+s");
    const size = () => statSync(path.join(work, lesson)).size;
    await expect.poll(size, { timeout: 30_000 }).toBeGreaterThan(sizeBefore);
    expect(size()).toBeLessThan(400_000); // the libraries, some five megabytes, are not in it

    await openLesson(page);
    const again = await atTheEnd(page, page.getByRole("slider", { name: "Level of the subs" }));
    await again.focus();
    await page.keyboard.press("ArrowLeft");
    await expect.poll(() => words.textContent(), { timeout: 10_000 }).toMatch(/^Subs at −0\.5 dB/);
    expect(await page.locator(".evenground-note:visible").count()).toBe(0);
    expect(outward).toEqual([]);
    await context.close();
  });

  it("runs a cell that was run before the kernel was there", async () => {
    const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
    const { page } = await watchedPage(context);
    page.setDefaultTimeout(120_000);
    // A slow machine: the server takes three seconds more to start a kernel.
    await page.route(/\/api\/sessions\b/, async (route) => {
      if (route.request().method() === "POST") await new Promise((rest) => setTimeout(rest, 3000));
      await route.continue();
    });
    await openLesson(page);
    await page.locator(".jp-CodeCell:visible").first().click();
    await page.keyboard.press("Shift+Enter");
    // The first figure stands behind a prediction, which takes keys that a notebook has uses of its own for.
    const guess = page.getByRole("textbox", {
      name: "The sub relative to the hang, 20 m from the stage, in dB",
    });
    await guess.focus();
    for (const key of ["d", "d", "Backspace", "Backspace", "-", "4", "Enter"]) await page.keyboard.press(key);
    await page
      .getByRole("status")
      .filter({ hasText: /you said −4 dB; it is −6 dB: 2 dB too high/ })
      .waitFor();
    await page.locator(".cartesianlayer .trace").first().waitFor();
    await context.close();
  });
});

async function openLesson(page: Page): Promise<void> {
  const to = new URL(address);
  to.pathname = `/lab/tree/${lesson}`;
  await page.goto(to.href);
  // Which cell comes into view depends on where the page was left: a cell out of view may stand first, and hidden.
  await page.locator(".jp-Notebook .jp-Cell:visible").first().waitFor();
}

async function runAll(page: Page): Promise<void> {
  const idle = page.getByText("TypeScript | Idle");
  await idle.waitFor();
  await page.getByRole("menuitem", { name: "Run", exact: true }).click();
  await page.getByRole("menuitem", { name: "Run All Cells", exact: true }).click();
  // Not by "Busy": on a quick or a loaded machine it comes and goes unseen.
  const numbered = page.locator(".jp-InputPrompt");
  await numbered
    .filter({ hasText: /\[(\*|\d+)\]/ })
    .first()
    .waitFor();
  await expect.poll(() => numbered.filter({ hasText: "[*]" }).count(), { timeout: 120_000 }).toBe(0);
  await idle.waitFor();
}

/** JupyterLab holds only the cells in view: scrolls to the end of the lesson until the wanted part is there. */
async function atTheEnd(page: Page, wanted: Locator): Promise<Locator> {
  const view = page.locator(".jp-NotebookPanel .jp-WindowedPanel-outer").first();
  await view.evaluate((element) => element.scrollTo({ top: element.scrollHeight }));
  await expect
    .poll(
      async () => {
        if ((await wanted.count()) > 0) return true;
        await view.evaluate((element) => element.scrollBy({ top: -300 }));
        return false;
      },
      { timeout: 120_000, interval: 500 },
    )
    .toBe(true);
  await wanted.scrollIntoViewIfNeeded();
  return wanted;
}
