import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { clientPage } from "../../lib/lesson/report/client";
import { mixEngineerPage } from "../../lib/lesson/report/mix-engineer";
import { pageHtml } from "../../lib/lesson/report/page";
import { technicianPage } from "../../lib/lesson/report/technician";
import { readShow } from "../../lib/study/read-show";
import { studyResult } from "../../lib/study/result";
import { runStudy } from "../../lib/study/study";
import { seriousFindings } from "./accessibility";
import { drawAll, openBrowser, watchedPage } from "./chromium";
import { spoiltLabels } from "./labels";
import { pdfPages } from "./pdf";

const root = path.join(__dirname, "..", "..");
const folder = mkdtempSync(path.join(tmpdir(), "evenground-report-"));
const runtime = readFileSync(path.join(root, "dist", "assets", "runtime.js"), "utf8");

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
  const study = runStudy(readShow(path.join(root, "data", "shows", "harbour-theatre")), { seatCount: 60 });
  const result = studyResult(study, { at: "2026-01-01T00:00:00Z", versions: {} });
  for (const [name, page] of Object.entries({
    technician: technicianPage,
    "mix engineer": mixEngineerPage,
    client: clientPage,
  })) {
    writeFileSync(path.join(folder, `${name}.html`), pageHtml(page(study, result), runtime));
  }
});
afterAll(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});

/** A sheet's margins in the pages' style, as points. */
const margin = (13 / 25.4) * 72;

describe("the report of a show on paper", () => {
  const cases = ["technician", "mix engineer", "client"].flatMap((name) =>
    (["A4", "Letter"] as const).map((format) => [name, format] as const),
  );

  it.each(["technician", "mix engineer", "client"])(
    "for the %s has drawings as wide as their columns, no label cut off or covered",
    async (name) => {
      const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
      await page.goto(pathToFileURL(path.join(folder, `${name}.html`)).href);
      await drawAll(page);
      // Letter is wider than A4, whose text is 210 mm less two margins wide.
      const paper = ((210 - 2 * 13) / 25.4) * 96;
      const tooWide = await page.evaluate((paper) => {
        dispatchEvent(new Event("beforeprint"));
        const text = document.querySelector("main") as HTMLElement;
        const { paddingLeft, paddingRight } = getComputedStyle(text);
        const inside = text.clientWidth - Number.parseFloat(paddingLeft) - Number.parseFloat(paddingRight);
        return Array.from(document.querySelectorAll<HTMLElement>(".evenground-drawing")).filter((drawing) => {
          const column = (drawing.clientWidth / inside) * paper;
          return drawing.querySelector(".main-svg")!.getBoundingClientRect().width > column;
        }).length;
      }, paper);
      expect(tooWide).toBe(0);
      expect(await spoiltLabels(page)).toEqual([]);
      await page.close();
    },
  );

  // From a window much wider than a sheet, whose drawings would be cut off if they stayed as they are on the screen.
  it.each(cases)(
    "for the %s on %s: 9 points or more, nothing cut off, no page two-thirds empty",
    async (name, format) => {
      const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
      await page.goto(pathToFileURL(path.join(folder, `${name}.html`)).href);
      await drawAll(page);
      const pages = pdfPages(await page.pdf({ format }));
      await page.close();
      for (const [i, { width, height, letters }] of pages.entries()) {
        const where = `page ${i + 1} of ${pages.length}`;
        expect(letters.length, where).toBeGreaterThan(0);
        // Chromium lays out in whole 64ths of a pixel.
        expect(Math.min(...letters.map((l) => l.size)), where).toBeGreaterThan(8.98);
        expect(Math.min(...letters.map((l) => l.x)), where).toBeGreaterThan(margin - 1);
        // A letter is at least a quarter as wide as high.
        expect(Math.max(...letters.map((l) => l.x + l.size / 4)), where).toBeLessThan(width - margin + 1);
        const filled = (Math.max(...letters.map((l) => l.y)) - margin) / (height - 2 * margin);
        if (i < pages.length - 1) expect(filled, where).toBeGreaterThan(1 / 3);
      }
      if (name !== "technician") expect(pages).toHaveLength(1);
    },
  );
});

describe("the report of a show", () => {
  it.each(["technician", "mix engineer", "client"])(
    "for the %s is within everyone's reach, wide and narrow, light and dark",
    async (name) => {
      const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, offline: true });
      const { page, outward, complaints } = await watchedPage(context);
      await page.goto(pathToFileURL(path.join(folder, `${name}.html`)).href);
      expect(await drawAll(page)).toBeGreaterThan(0);
      for (const width of [1280, 390]) {
        await page.setViewportSize({ width, height: 900 });
        for (const colorScheme of ["light", "dark"] as const) {
          await page.emulateMedia({ colorScheme });
          const themed = page.locator(`figure.evenground:not([data-painted=${colorScheme}])`);
          await expect.poll(() => themed.count()).toBe(0);
          expect(await seriousFindings(page), `${width} ${colorScheme}`).toEqual([]);
        }
        expect(await spoiltLabels(page), `${width}`).toEqual([]);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        expect(wide).toBeLessThanOrEqual(width);
      }
      const silent = await page.evaluate(() =>
        Array.from(document.querySelectorAll(".main-svg"), (svg) => svg.closest("[role=img]")).filter(
          (position) => (position?.getAttribute("aria-label") ?? "").length < 20,
        ),
      );
      expect(silent).toEqual([]);
      expect({ outward, complaints }).toEqual({ outward: [], complaints: [] });
      await context.close();
    },
  );
});
