/** What a teacher prints and says: sheets of one page, and panels that are whole on a stage and say what the plan of a lesson promises. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { seriousFindings } from "./accessibility";
import { openBrowser, openGuesses } from "./chromium";
import { spoiltLabels } from "./labels";
import { pdfPages } from "./pdf";

const root = path.join(__dirname, "..", "..");
const book = path.join(root, "book");
const address = (file: string) => pathToFileURL(path.join(book, file)).href;
const sheets = existsSync(book) ? readdirSync(book).filter((file) => file.startsWith("sheet-")) : [];

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());

describe.each(sheets)("%s", (file) => {
  it("prints on one page of A4 and of Letter, in letters of 9 points or more, and can be read to somebody", async () => {
    const page = await browser.newPage();
    await page.goto(address(file));
    for (const format of ["A4", "Letter"]) {
      const pages = pdfPages(await page.pdf({ format }));
      expect(pages).toHaveLength(1);
      expect(Math.min(...pages[0].letters.map(({ size }) => size))).toBeGreaterThanOrEqual(9);
    }
    expect(await seriousFindings(page)).toEqual([]);
    await page.close();
  });
});

const lessons = existsSync(book) ? readdirSync(book).filter((file) => /^\d.*html$/.test(file)) : [];

describe.each([
  [1920, 1080],
  [1280, 720],
])("on a stage of %i by %i", (width, height) => {
  it.each(lessons)("%s shows each of its panels whole, sliders and figures", async (file) => {
    const page = await browser.newPage({ viewport: { width, height } });
    await page.goto(`${address(file)}?present`);
    const panels = page.locator("figure.evenground", { has: page.locator(".evenground-sliders") });
    // A panel may wait for a guess.
    await openGuesses(page);
    await panels.first().waitFor();
    for (const panel of await panels.all()) {
      const cell = panel.locator("xpath=ancestor::section[contains(@class, 'cell')]");
      const top = () => cell.evaluate((one) => scrollBy(0, one.getBoundingClientRect().top - 60));
      await top();
      await panel.locator(".main-svg").first().waitFor();
      // What was drawn above may have moved it.
      await top();
      const seen = await panel.evaluate((one) => {
        const within = Array.from(one.querySelectorAll(".evenground-sliders, .evenground-words, .main-svg"));
        const edges = within.map((part) => part.getBoundingClientRect());
        const letters = Array.from(one.querySelectorAll("label, .evenground-words")).map((part) =>
          Number.parseFloat(getComputedStyle(part).fontSize),
        );
        return {
          bottom: Math.max(...edges.map(({ bottom }) => bottom)),
          right: Math.max(...edges.map(({ right }) => right)),
          letters: Math.min(...letters),
        };
      });
      expect(seen.bottom).toBeLessThanOrEqual(height);
      expect(seen.right).toBeLessThanOrEqual(width);
      expect(seen.letters * (1080 / height)).toBeGreaterThanOrEqual(30);
    }
    expect(await spoiltLabels(page, "figure.evenground:has(.evenground-sliders)")).toEqual([]);
    await page.close();
  });
});

it("goes on by a remote control after a slider was moved, and opens its contents", async () => {
  const page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
  await page.goto(`${address("03-mains-and-subs.html")}?present#8-try-it-yourself`);
  const slider = page.locator(".evenground-sliders").getByRole("slider").first();
  await slider.click();
  const before = await page.evaluate(() => scrollY);
  await page.keyboard.press("PageDown");
  expect(await page.evaluate(() => scrollY)).toBeGreaterThan(before);
  const value = await slider.inputValue();
  await slider.press("ArrowRight");
  expect(await slider.inputValue()).not.toBe(value);
  await page.getByText("Contents", { exact: true }).click();
  await page.getByRole("link", { name: "1 · Two triangles" }).click();
  expect(await page.evaluate(() => scrollY)).toBeLessThan(before);
  await page.close();
});

const page = (file: string) => readFileSync(path.join(root, "notebooks", "mentors", file), "utf8");
const pages = ["ninety-minutes.md", "twenty-minutes.md"];
/** Rows of these pages: the lesson's number, a slider, its value, the words that are read aloud. */
const rows = pages.flatMap((file) =>
  [...page(file).matchAll(/^\| \[?(\d+)\b[^|]*\| ([A-Z][^|]*) \| (-?[\d.]+) \| ([^|]+) \|$/gm)].map(
    ([, lesson, slider, at, says]) => ({ lesson: lesson.padStart(2, "0"), slider, at, says }),
  ),
);

it.each([...new Set(rows.map(({ lesson }) => lesson))])(
  "the panel of lesson %s says what these pages promise",
  async (lesson) => {
    const page = await browser.newPage();
    await page.goto(address(readdirSync(book).find((one) => one.startsWith(`${lesson}-`)) as string));
    await openGuesses(page);
    const sliders = page.locator("figure.evenground", { has: page.locator(".evenground-sliders") }).first();
    const words = sliders.locator(".evenground-words");
    await sliders.scrollIntoViewIfNeeded();
    for (const { slider, at, says } of rows.filter((row) => row.lesson === lesson)) {
      const control = sliders.getByRole("slider", { name: slider, exact: true });
      const before = await control.inputValue();
      await control.fill(at);
      await expect.poll(() => words.textContent(), { message: `${slider} at ${at}` }).toContain(says);
      await control.fill(before);
    }
    await page.close();
  },
);

it("has rows of both pages", () => expect(rows.length).toBeGreaterThan(20));

it.each(pages.map((file) => `teaching-${file.replace(".md", ".html")}`))(
  "%s opens panels by its links, in the view for a projector, with the panel in sight",
  async (file) => {
    const page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
    await page.goto(address(file));
    const links = await page
      .locator('main a[href*="?present#"]')
      .evaluateAll((all) => [...new Set(all.map((one) => (one as HTMLAnchorElement).href))]);
    expect(links.length).toBeGreaterThan(2);
    for (const link of links) {
      await page.goto(link);
      await page.locator(".evenground-sliders").first().waitFor();
      const seen = () =>
        page.evaluate(() =>
          Array.from(document.querySelectorAll(".evenground-sliders"), (one) =>
            one.getBoundingClientRect(),
          ).some(({ top, bottom }) => top > 0 && bottom < innerHeight),
        );
      await expect.poll(seen, { message: link }).toBe(true);
    }
    await page.close();
  },
);
