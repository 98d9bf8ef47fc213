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
