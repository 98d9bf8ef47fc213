import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import { balance } from "../../lib/decision/balance/balance";
import { linesFigure } from "../../lib/lesson/figures/lines";
import { figureHtml } from "../../lib/lesson/output/figure-html";
import { panel } from "../../lib/lesson/panels";
import { hall, hallSeats, hallSurvey } from "../lesson/hall";
import { openBrowser, watchedPage } from "./chromium";

const runtime = readFileSync(path.join(__dirname, "..", "..", "dist", "assets", "runtime.js"), "utf8");
const survey = hallSurvey(hallSeats(1), logGrid(20, 16000, 60));
const file = path.join(tmpdir(), `panel-${process.pid}.html`);

let browser: Browser;
let context: BrowserContext;
beforeAll(async () => {
  browser = await openBrowser();
  context = await browser.newContext({ viewport: { width: 1000, height: 900 }, offline: true });
});
afterAll(async () => {
  await browser?.close();
  rmSync(file, { force: true });
});

/** A page with these pieces; with the runtime inside unless told otherwise. */
async function open(
  body: string,
  { withRuntime = true } = {},
): Promise<{ page: Page; complaints: string[] }> {
  const script = withRuntime ? `<script>${runtime.replaceAll("</script", "<\\/script")}</script>` : "";
  writeFileSync(
    file,
    `<!doctype html><html lang="en"><meta charset="utf-8"><title>test</title>${script}<body>${body}</body></html>`,
  );
  const { page, complaints } = await watchedPage(context);
  await page.goto(pathToFileURL(file).href);
  return { page, complaints };
}

describe("a live panel in the browser", () => {
  it("says and draws at each step of the keyboard what the library answers", async () => {
    const { page, complaints } = await open(panel("sub level", { survey, venue: hall }).html);
    const slider = page.getByRole("slider", { name: "Level of the subs" });
    await slider.focus();
    await page.keyboard.press("Home");
    for (let i = 0; i < 20; i++) await page.keyboard.press("ArrowRight");
    const { audience, positions } = balance(survey, { offset: -5 });
    await expect.poll(() => page.locator("output").textContent()).toBe("−5.0 dB");
    const fraction = Math.round(audience.within3dB_fraction * 100);
    await expect
      .poll(() => page.locator(".evenground-words").textContent())
      .toContain(`${fraction} of 100 people`);
    // The last figure draws deviation over distance: its marks' heights are in proportion to it.
    const heights = await page.evaluate(() => {
      const drawings = document.querySelectorAll(".evenground-figures .evenground-drawing");
      const points = drawings[drawings.length - 1].querySelectorAll(".scatterlayer .points path");
      return Array.from(points, (p) => Number(/,([-\d.]+)\)/.exec(p.getAttribute("transform") ?? "")?.[1]));
    });
    expect(heights).toHaveLength(positions.length);
    const within = positions.flatMap((p, i) =>
      Math.abs(p.deviation_db) < 11 ? [[p.deviation_db, heights[i]]] : [],
    );
    const [first, last] = [within[0], within.find(([d]) => Math.abs(d - within[0][0]) > 1)!];
    const perDecibel = (last[1] - first[1]) / (last[0] - first[0]);
    for (const [deviation, height] of within) {
      expect(Math.abs(height - first[1] - perDecibel * (deviation - first[0]))).toBeLessThan(0.5);
    }
    expect(complaints).toEqual([]);
    await page.close();
  });

  it.each([
    { name: "Level of the subs", shown: panel("sub level", { survey, venue: hall }) },
    { name: "Spacing", shown: panel("sub line", { venue: hall, cabinet: hall.sources[2] }) },
  ])("shows the same once the slider rests as while it moved: $name", async ({ name, shown }) => {
    const { page } = await open(shown.html);
    const slider = page.getByRole("slider", { name });
    await slider.focus();
    for (let i = 0; i < 6; i++) await page.keyboard.press("ArrowLeft");
    const look = () =>
      page.evaluate(() =>
        Array.from(document.querySelectorAll<SVGPathElement>(".scatterlayer .points path"), (p) => [
          p.style.fill,
          p.getAttribute("d"),
          (p.getAttribute("transform") ?? "").replace(/\d+\.\d+/g, (x) => String(Math.round(Number(x)))),
        ]),
      );
    await page.evaluate(
      () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
    );
    const moving = await look();
    await page.waitForTimeout(800);
    const atRest = await look();
    expect(atRest.length).toBeGreaterThan(100);
    expect(moving).toEqual(atRest);
    await page.close();
  });
});

describe("a piece of a page", () => {
  const nasty = `<img src=x onerror="window.harm=1"></script><script>window.harm=2</script>%{x}<b>`;
  const figure = linesFigure({ x: [1, 2], xTitle: nasty, curves: { [nasty]: [0, -6] }, title: nasty });

  it("shows text from data as text, in labels, title and words", async () => {
    const { page, complaints } = await open(figureHtml(figure));
    await page.locator("svg.main-svg").first().waitFor();
    expect(await page.evaluate(() => (window as { harm?: number }).harm)).toBeUndefined();
    expect(await page.locator("figcaption").textContent()).toBe(nasty);
    expect(await page.locator("figure img").count()).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it("says what to do, and what there would be to see, where the runtime can't be loaded", async () => {
    const { page } = await open(
      figureHtml(
        linesFigure({ x: [1, 2], xTitle: "Distance (m)", curves: { mains: [0, -6] }, title: "Falls" }),
      ),
      {
        withRuntime: false,
      },
    );
    const note = page.locator(".evenground-note");
    await expect
      .poll(() => note.textContent())
      .toMatch(/could not be loaded\. Start the course with npm start.*mains: from 0\.0 dB/);
    expect(await note.isVisible()).toBe(true);
    await page.close();
  });

  it("has a name for those who do not see the drawing, and is drawn anew when the page turns dark", async () => {
    const { page } = await open(
      figureHtml(
        linesFigure({ x: [1, 2], xTitle: "Distance (m)", curves: { mains: [0, -6] }, title: "Falls" }),
      ),
    );
    await page.getByRole("img", { name: /Falls\. mains: from/ }).waitFor();
    const ink = () =>
      page
        .locator(".xtitle")
        .first()
        .evaluate((e) => (e as SVGElement).style.fill);
    const light = await ink();
    await page.evaluate(() => document.documentElement.setAttribute("data-theme", "dark"));
    await expect.poll(ink).not.toBe(light);
    await page.close();
  });
});
