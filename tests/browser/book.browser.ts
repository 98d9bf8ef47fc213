import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { drawAll, openBrowser, watchedPage } from "./chromium";

const book = path.join(__dirname, "..", "..", "book");
const pages = existsSync(book) ? readdirSync(book).filter((file) => file.endsWith(".html")) : [];
const lessons = pages.filter((file) => file !== "index.html");
const address = (file: string) => pathToFileURL(path.join(book, file)).href;

let browser: Browser;
let context: BrowserContext;
beforeAll(async () => {
  browser = await openBrowser();
  context = await browser.newContext({ viewport: { width: 1280, height: 900 }, offline: true });
});
afterAll(() => browser?.close());

describe("the book, opened from disk with the network cut", () => {
  it("has a page for every lesson, and a list of them", () => {
    const notebooks = readdirSync(path.join(__dirname, "..", "..", "notebooks")).filter((file) =>
      file.endsWith(".ipynb"),
    );
    expect(notebooks.length).toBeGreaterThan(0);
    expect(lessons).toEqual(notebooks.map((file) => file.replace(/ipynb$/, "html")).sort());
    expect(pages).toContain("index.html");
  });

  it.each(pages)(
    "%s asks the network for nothing, complains of nothing and draws every figure",
    async (file) => {
      const { page, outward, complaints } = await watchedPage(context);
      await page.goto(address(file));
      const drawn = await drawAll(page);
      expect({ outward, complaints }).toEqual({ outward: [], complaints: [] });
      expect(await page.locator(".evenground-note:visible").count()).toBe(0);
      if (file !== "index.html") expect(drawn).toBeGreaterThan(0);
      await page.close();
    },
  );

  it.each(pages)("%s links only to pages and parts that are there", async (file) => {
    const html = readFileSync(path.join(book, file), "utf8");
    const dead: string[] = [];
    for (const [, target] of html.matchAll(/<(?:a|link|script|img)\b[^>]*? (?:href|src)="([^"]*)"/g)) {
      if (/^(https?|mailto|data):/.test(target)) continue;
      const [name, part] = decodeURI(target).split("#");
      const there = name ? path.join(book, name) : path.join(book, file);
      if (!existsSync(there)) dead.push(target);
      else if (part && !readFileSync(there, "utf8").includes(`id="${part}"`)) dead.push(target);
    }
    expect(dead).toEqual([]);
  });

  it.each(lessons)("%s fits a phone without scrolling sideways", async (file) => {
    const { page } = await watchedPage(context);
    await page.setViewportSize({ width: 375, height: 800 });
    await page.goto(address(file));
    await drawAll(page);
    const { wide, narrow } = await page.evaluate(() => ({
      wide: document.documentElement.scrollWidth,
      narrow: document.documentElement.clientWidth,
    }));
    expect(wide).toBeLessThanOrEqual(narrow);
    await page.close();
  });

  it("has live panels whose drawing and words follow the slider, from the keyboard alone", async () => {
    let moved = 0;
    for (const file of lessons) {
      const { page } = await watchedPage(context);
      await page.goto(address(file));
      await drawAll(page);
      const panels = page.locator("figure.evenground", { has: page.locator("input[type=range]") });
      for (let i = 0; i < (await panels.count()); i++) {
        const panel = panels.nth(i);
        const slider = panel.locator("input[type=range]").first();
        const before = [await slider.inputValue(), await drawing(panel)];
        await slider.focus();
        for (let step = 0; step < 4; step++) await page.keyboard.press("ArrowLeft");
        if ((await slider.inputValue()) === before[0]) {
          for (let step = 0; step < 4; step++) await page.keyboard.press("ArrowRight");
        }
        await expect.poll(() => drawing(panel), { timeout: 10_000 }).not.toBe(before[1]);
        expect(await slider.inputValue()).not.toBe(before[0]);
        moved++;
      }
      await page.close();
    }
    expect(moved).toBeGreaterThan(0);
  });

  it("turns dark and light at the button, the figures with it", async () => {
    const { page } = await watchedPage(context);
    await page.goto(address(lessons[0]));
    await drawAll(page);
    const look = () =>
      page.evaluate(() => [
        document.documentElement.dataset.theme,
        getComputedStyle(document.body).backgroundColor,
      ]);
    const painted = () => page.locator("figure.evenground").first().getAttribute("data-painted");
    const [first, paper] = await look();
    expect(await painted()).toBe(first);
    await page.click("#theme");
    const [second, night] = await look();
    expect(second).not.toBe(first);
    expect(night).not.toBe(paper);
    await expect.poll(painted).toBe(second);
    await page.close();
  });

  it("prints on white, without the list of lessons", async () => {
    const { page } = await watchedPage(context);
    await page.goto(address(lessons[0]));
    await page.emulateMedia({ media: "print" });
    expect(await page.locator("nav.contents").isVisible()).toBe(false);
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe(
      "rgb(255, 255, 255)",
    );
    await page.close();
  });
});

/** What a panel shows at the moment: its drawing and its words. */
const drawing = (panel: ReturnType<Page["locator"]>): Promise<string> =>
  panel.evaluate((element) => {
    const paths = Array.from(element.querySelectorAll("svg.main-svg path, svg.main-svg text"));
    return paths.map((one) => one.getAttribute("d") ?? one.textContent).join("|") + element.textContent;
  });
