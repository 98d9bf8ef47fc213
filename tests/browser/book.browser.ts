import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { seriousFindings } from "./accessibility";
import { drawAll, openBrowser, type Watched, watchedPage } from "./chromium";
import { spoiltLabels } from "./labels";
import { moveByKeyboard, moveByMouse, panelsOf } from "./panels";

const book = path.join(__dirname, "..", "..", "book");
const pages = existsSync(book) ? readdirSync(book).filter((file) => file.endsWith(".html")) : [];
const lessons = pages.filter((file) => /^\d/.test(file));
/** Sheets are looked at by teaching.browser.ts; of the guides, which are text of one kind, the first stands for all. */
const elsewhere = /^sheet-|^teaching-(?!01)\d/;
const address = (file: string) => pathToFileURL(path.join(book, file)).href;

let browser: Browser;
let context: BrowserContext;
beforeAll(async () => {
  browser = await openBrowser();
  context = await browser.newContext({ viewport: { width: 1280, height: 900 }, offline: true });
});
afterAll(() => browser?.close());

describe("the book", () => {
  it("has a page for every lesson, and a list of them", () => {
    const notebooks = readdirSync(path.join(__dirname, "..", "..", "notebooks")).filter((file) =>
      file.endsWith(".ipynb"),
    );
    expect(notebooks.length).toBeGreaterThan(0);
    expect(lessons).toEqual(notebooks.map((file) => file.replace(/ipynb$/, "html")).sort());
    expect(pages).toEqual(
      expect.arrayContaining(["index.html", "whats-new.html", "reference.html", "reference-decide.html"]),
    );
  });

  it.each(pages)("%s links only to pages and parts that are there", async (file) => {
    const html = readFileSync(path.join(book, file), "utf8");
    const dead: string[] = [];
    for (const [, target] of html.matchAll(/<(?:a|link|script|img)\b[^>]*? (?:href|src)="([^"]*)"/g)) {
      if (/^(https?|mailto|data):/.test(target)) continue;
      const [name, part] = decodeURI(target).replace("?present", "").split("#");
      const there = name ? path.join(book, name) : path.join(book, file);
      if (!existsSync(there)) dead.push(target);
      else if (part && !readFileSync(there, "utf8").includes(`id="${part}"`)) dead.push(target);
    }
    expect(dead).toEqual([]);
  });
});

// One visit serves all that is asked of a page, in this order: loading and drawing it is most of the work.
describe.each(pages.filter((file) => !elsewhere.test(file)))(
  "%s, opened from disk with the network cut",
  (file) => {
    let visit: Watched;
    beforeAll(async () => {
      visit = await watchedPage(context);
      await visit.page.goto(address(file));
    });
    afterAll(() => visit?.page.close());

    it("draws every figure", async () => {
      const drawn = await drawAll(visit.page);
      expect(await visit.page.locator(".evenground-note:visible").count()).toBe(0);
      if (lessons.includes(file)) expect(drawn).toBeGreaterThan(0);
    });

    it("says of every figure and picture what there is to see", async () => {
      const silent = await visit.page.evaluate(() => {
        const tells = (text: string | null | undefined) => (text ?? "").trim().length >= 20;
        const pieces = Array.from(document.querySelectorAll("figure.evenground"));
        const drawings = Array.from(document.querySelectorAll(".main-svg"), (svg) =>
          svg.closest("[role=img]"),
        );
        const pictures = Array.from(document.querySelectorAll("img"));
        const others = Array.from(document.querySelectorAll("main svg, main canvas")).filter(
          (one) => !one.closest(".evenground-drawing, .katex, [aria-hidden=true]"),
        );
        return {
          pieces: pieces.filter((p) => !tells(p.querySelector("details p")?.textContent)).length,
          titles: pieces.filter((p) => !p.querySelector("figcaption")?.textContent).length,
          drawings: drawings.filter((position) => !tells(position?.getAttribute("aria-label"))).length,
          pictures: pictures.filter((one) => !tells(one.alt)).map((one) => one.outerHTML.slice(0, 200)),
          others: others
            .filter(
              (one) => !tells(one.getAttribute("aria-label") ?? one.querySelector("title")?.textContent),
            )
            .map((one) => one.outerHTML.slice(0, 200)),
        };
      });
      expect(silent).toEqual({ pieces: 0, titles: 0, drawings: 0, pictures: [], others: [] });
    });

    it("cuts off no label and lays none on another, on a phone and at a desk", async () => {
      for (const width of [390, 1280]) {
        await visit.page.setViewportSize({ width, height: 900 });
        await expect.poll(() => spoiltLabels(visit.page), { message: `${width} pixels wide` }).toEqual([]);
      }
    });

    it("has live panels that follow the mouse and the keyboard, each slider of them", async () => {
      const panels = await panelsOf(visit.page);
      for (const panel of panels) {
        for (let slider = 0; slider < panel.sliders; slider++) {
          await moveByMouse(panel, slider);
          await moveByKeyboard(panel, slider);
        }
      }
      // Lessons without a panel of their own: exercises and capstones, whose way is to compute.
      if (lessons.includes(file) && !/^(11-|13-)/.test(file)) expect(panels.length).toBeGreaterThan(0);
    });

    it.each([
      // Each width and each theme once: neither hangs on the other.
      ["at a desk", 1280, "light"],
      ["on a phone", 390, "dark"],
    ] as const)("is within everyone's reach %s, %i pixels wide, %s", async (_, width, theme) => {
      const { page } = visit;
      await page.setViewportSize({ width, height: 900 });
      const now = await page.evaluate(() => document.documentElement.dataset.theme);
      if (now !== theme) await page.click("#book-theme");
      if (lessons.includes(file)) {
        const themed = () =>
          page.evaluate(() =>
            Array.from(document.querySelectorAll<HTMLElement>("figure.evenground"), (f) => f.dataset.painted),
          );
        await expect.poll(async () => new Set(await themed())).toEqual(new Set([theme]));
      }
      expect(await seriousFindings(page)).toEqual([]);
      const { wide, narrow } = await page.evaluate(() => ({
        wide: document.documentElement.scrollWidth,
        narrow: document.documentElement.clientWidth,
      }));
      expect(wide).toBeLessThanOrEqual(narrow);
    });

    it("has asked the network for nothing and complained of nothing in all that", () => {
      expect({ outward: visit.outward, complaints: visit.complaints }).toEqual({
        outward: [],
        complaints: [],
      });
    });
  },
);

describe("the book's tools", () => {
  it("finds words in all lessons from the keyboard alone, shows the line, and goes there", async () => {
    const { page, outward, complaints } = await watchedPage(context);
    await page.goto(address("index.html"));
    for (let i = 0; i < 3; i++) await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    const status = page.getByRole("dialog").getByRole("status");
    await page.keyboard.type("comb filter notc");
    await expect.poll(() => status.textContent()).toMatch(/places? found|The first/);
    const found = page.getByRole("dialog").getByRole("listitem");
    expect(await found.count()).toBeGreaterThan(1);
    const lines = await found.evaluateAll((items) => items.map((item) => item.textContent));
    expect(lines.some((line) => /notch/i.test(line ?? ""))).toBe(true);
    expect(await page.locator("dialog mark").count()).toBeGreaterThan(0);
    expect(await seriousFindings(page)).toEqual([]);
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("ArrowDown");
    const second = found.nth(1).getByRole("link");
    const heading = await second.locator("strong").textContent();
    await page.keyboard.press("Enter");
    const arrived = () =>
      page.evaluate(() => document.getElementById(decodeURIComponent(location.hash.slice(1)))?.textContent);
    await expect.poll(arrived).toBe(heading);
    expect(await page.locator("dialog[open]").count()).toBe(0);
    expect({ outward, complaints }).toEqual({ outward: [], complaints: [] });
    await page.close();
  });

  it("finds a function of the library by the words of its name, and goes to its entry", async () => {
    const { page, complaints } = await watchedPage(context);
    await page.goto(address("index.html"));
    await page.click("#book-search");
    await page.getByRole("searchbox").fill("critical distance");
    const entry = page.getByRole("dialog").getByRole("link", { name: /^acoustics\.room\.criticalDistance/ });
    await entry.click();
    await expect
      .poll(() => page.url())
      .toMatch(/reference-acoustics\.html#acoustics\.room\.criticalDistance$/);
    const heading = page.getByRole("heading", { name: "acoustics.room.criticalDistance" });
    await expect.poll(() => heading.evaluate((one) => one.getBoundingClientRect().top)).toBeLessThan(200);
    expect(await page.locator("dialog[open]").count()).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it("leads from the code of a lesson to the entry of a function, and back", async () => {
    const { page, complaints } = await watchedPage(context);
    await page.goto(address(lessons[1]));
    const link = page.locator("pre.code a.public").first();
    const name = await link.textContent();
    await link.focus();
    await page.keyboard.press("Enter");
    await expect.poll(() => page.url()).toMatch(/reference-.*#/);
    const heading = page.locator(`[id="${decodeURIComponent(new URL(page.url()).hash.slice(1))}"]`);
    await expect.poll(() => heading.textContent()).toMatch(RegExp(`(^|\\.)${name}$`));
    await page.goBack();
    await expect.poll(() => page.url()).toBe(address(lessons[1]));
    expect(complaints).toEqual([]);
    await page.close();
  });

  it("says so where nothing is found, and forgives a wrong letter", async () => {
    const { page } = await watchedPage(context);
    await page.goto(address("index.html"));
    await page.click("#book-search");
    const field = page.getByRole("searchbox");
    await field.fill("qqxqzz");
    await expect.poll(() => page.getByRole("status").textContent()).toBe("No places found");
    await field.fill("polarety");
    await expect.poll(() => page.getByRole("status").textContent()).toMatch(/found|first/);
    expect(await page.locator("dialog mark").first().textContent()).toMatch(/^polarity$/i);
    await page.keyboard.press("Escape");
    expect(await page.locator("dialog[open]").count()).toBe(0);
    await page.close();
  });

  it("has a presenting view: large letters in text and figures, code folded, part by part, panels live", async () => {
    const { page, complaints } = await watchedPage(context);
    await page.setViewportSize({ width: 1280, height: 720 });
    await page.goto(`${address(lessons[0])}?present`);
    await drawAll(page);
    const letters = () =>
      page.evaluate(() => {
        const size = (selector: string) =>
          Number.parseFloat(getComputedStyle(document.querySelector(selector)!).fontSize);
        return {
          text: size("main p"),
          figure: size(".main-svg .xtick text"),
          slider: size(".evenground-sliders label"),
        };
      });
    const large = await letters();
    expect(await page.locator("pre.code:visible").count()).toBe(0);
    expect(await page.locator("nav.contents li:visible").count()).toBe(0);
    expect(await seriousFindings(page)).toEqual([]);
    const [panel] = await panelsOf(page);
    await moveByMouse(panel, 0);

    // A remote control sends these; every part comes to the top once, and none is passed over.
    await page.evaluate(() => {
      (document.activeElement as HTMLElement | null)?.blur();
      scrollTo(0, 0);
    });
    const seen = new Set<number>();
    for (let press = 0; press < 200 && !(await atTheEnd()); press++) {
      await page.keyboard.press("PageDown");
      for (const part of await shown()) seen.add(part);
    }
    expect(seen.size).toBe(await page.locator("main > section").count());
    const last = await page.evaluate(() => scrollY);
    await page.keyboard.press("PageUp");
    expect(await page.evaluate(() => scrollY)).toBeLessThan(last);

    await page.locator("nav.neighbours a").last().click();
    await expect.poll(() => page.url()).toContain("?present");
    await expect.poll(() => page.locator("pre.code:visible").count()).toBe(0);
    await drawAll(page);
    await page.goBack();
    await drawAll(page);
    await page.click("#book-present");
    const usual = await letters();
    for (const what of ["text", "figure", "slider"] as const) {
      expect(large[what] / usual[what], what).toBeGreaterThan(1.3);
    }
    expect(await page.locator("pre.code:visible").count()).toBeGreaterThan(0);
    expect(complaints).toEqual([]);
    await page.close();

    function atTheEnd() {
      return page.evaluate(() => scrollY + innerHeight >= document.documentElement.scrollHeight - 2);
    }
    function shown() {
      return page.evaluate(() =>
        Array.from(document.querySelectorAll("main > section")).flatMap((part, i) => {
          const { top, bottom } = part.getBoundingClientRect();
          return bottom > 0 && top < innerHeight ? [i] : [];
        }),
      );
    }
  });

  it("prints on white, without the list of lessons", async () => {
    const { page } = await watchedPage(context);
    await page.goto(address(lessons[0]));
    await page.click("#book-theme");
    await page.emulateMedia({ media: "print" });
    expect(await page.locator("nav.contents li:visible").count()).toBe(0);
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe(
      "rgb(255, 255, 255)",
    );
    await page.close();
  });
});
