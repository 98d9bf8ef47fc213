/**
 * A slider in motion in headless Chromium: 20 cabinets at 300 seats and 60 frequencies, computed and drawn anew at each step.
 *
 * The whole runs from the input event to the first task after the frame that shows it, so up to a frame of waiting, 16.7 ms, is in it.
 * The page's own work is what runs within that frame; Plotly lays the figure out only once the slider rests.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { chromium, type Page } from "playwright-core";
import { panel } from "../../lib/lesson/panels";
import { kinds } from "../../lib/lesson/panels/kinds";
import { median } from "../../lib/numeric/statistics";
import { readVenue } from "../../lib/venue/file/read";
import { pageAlone } from "../book/page-alone";
import { inRoot } from "../setup/places.mjs";
import { findBrowser } from "../study/print";
import { alone, type Row } from "./rows";

const steps = 60;

export async function bench(): Promise<Row[]> {
  const folder = mkdtempSync(path.join(tmpdir(), "slider-"));
  const executablePath = findBrowser();
  if (!executablePath) {
    console.log("  left out: no Chromium found; EVENGROUND_BROWSER names one");
    return [];
  }
  const browser = await chromium.launch({ executablePath, args: ["--no-sandbox"] });
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 1000 } });
    const file = path.join(folder, "panel.html");
    const { html, seats } = panelOfMeadow();
    writeFileSync(file, html);
    await page.goto(pathToFileURL(file).href);
    await page.locator("svg.main-svg .points path.point").first().waitFor();
    const { whole, work, rest } = await drag(page);
    const what = `slider step, ${seats} seats × 60 frequencies × 20 sources`;
    return [
      alone(`${what}: event to painted`, whole),
      alone(`${what}: the page's own work`, work),
      alone("the same figure laid out by Plotly once the slider rests", rest),
    ];
  } finally {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

function panelOfMeadow(): { html: string; seats: number } {
  const name = "ulverow-meadow.json";
  const venue = readVenue(readFileSync(inRoot("data", "venues", name), "utf8"), name);
  const cabinet = venue.sources.find((source) => source.group === "subs");
  if (!cabinet) throw new Error(`${name} has no subs`);
  const data = { venue, cabinet };
  return {
    html: pageAlone(panel("sub line", data, { count: 20, spacing: 1.8, angle: 0 }).html),
    seats: kinds["sub line"].reduce(data).positions.length,
  };
}

/** Moves the angle a step at a time; seconds, medians. */
async function drag(page: Page): Promise<{ whole: number; work: number; rest: number }> {
  const { whole, work, rest } = await page.evaluate(async (steps) => {
    const slider = document.querySelectorAll("input")[2];
    const busy = { frame: 0, rest: 0 };
    const timed = (kind: "frame" | "rest", run: () => void) => {
      const start = performance.now();
      run();
      busy[kind] += performance.now() - start;
    };
    const frame = window.requestAnimationFrame.bind(window);
    const later = window.setTimeout.bind(window);
    window.requestAnimationFrame = (run) => frame((time) => timed("frame", () => run(time)));
    window.setTimeout = ((run: () => void, ms?: number) =>
      later(() => timed("rest", run), ms)) as typeof window.setTimeout;
    const painted = () =>
      new Promise<number>((done) => {
        frame(() => {
          const { port1, port2 } = new MessageChannel();
          port1.onmessage = () => done(performance.now());
          port2.postMessage(0);
        });
      });
    const whole: number[] = [];
    const work: number[] = [];
    for (let i = 0; i < steps; i++) {
      await new Promise((done) => later(done, 5 + 7 * (i % 3)));
      slider.value = String(5 + 5 * (i % 29));
      busy.frame = 0;
      const start = performance.now();
      slider.dispatchEvent(new Event("input"));
      whole.push((await painted()) - start);
      work.push(busy.frame);
    }
    const rest: number[] = [];
    for (let i = 0; i < 7; i++) {
      slider.value = String(20 + 5 * i);
      busy.rest = 0;
      slider.dispatchEvent(new Event("input"));
      await new Promise((done) => later(done, 600));
      rest.push(busy.rest);
    }
    return { whole, work, rest };
  }, steps);
  return { whole: median(whole) / 1000, work: median(work) / 1000, rest: median(rest) / 1000 };
}
