/** From a folder of recordings and no JSON to a report, in a real browser, with the answers of a person counted. */
import { copyFileSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { writeResultAndReports } from "../../lib/lesson/report/write";
import { readShow } from "../../lib/study/read-show";
import { runStudy } from "../../lib/study/study";
import { type Served, servePage } from "../../scripts/local-page/serve";
import { startEditing } from "../../scripts/new-show/editing";
import { newShowPage } from "../../scripts/new-show/page";
import { freePort } from "../../scripts/start/free-port.mjs";
import { seriousFindings } from "./accessibility";
import { openBrowser, type Watched, watchedPage } from "./chromium";

const demo = path.join(__dirname, "..", "..", "data", "shows", "harbour-theatre");
let folder: string;
let browser: Browser;
let served: Served;
let watched: Watched;
let answers = 0;
beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), "evenground-new-show-"));
  for (const name of ["mains", "subs", "both"])
    copyFileSync(path.join(demo, `${name}.wav`), path.join(folder, `Aufnahme ${name.length}${name[0]}.wav`));
  served = await servePage(
    newShowPage(startEditing({ folder, name: "Friday" })),
    await freePort(undefined, 8971),
  );
  browser = await openBrowser();
  watched = await watchedPage(await browser.newContext({ viewport: { width: 1280, height: 900 } }));
  await watched.page.goto(served.address);
}, 60_000);
afterAll(async () => {
  await browser?.close();
  await served?.close();
  rmSync(folder, { recursive: true, force: true });
});

const field = (label: string) => watched.page.getByLabel(label, { exact: true });
const answer = async (label: string, value: string) => {
  answers++;
  await field(label).fill(value);
  await field(label).press("Enter");
  await expect.poll(() => field(label).inputValue()).toBe(value);
};

describe("a show from three files and no JSON", () => {
  it("shows what each file holds, as a table and a picture", async () => {
    await expect.poll(() => watched.page.locator("h3").count()).toBe(3);
    const holds = await watched.page
      .locator("h3")
      .evaluateAll((all) =>
        all.map((one) => [one.firstChild?.textContent?.trim(), one.querySelector("select")?.value]),
      );
    expect(holds).toEqual([
      ["Aufnahme 4b", "both"],
      ["Aufnahme 4s", "subs"],
      ["Aufnahme 5m", "mains"],
    ]);
    expect(await watched.page.locator("#distance circle").count()).toBe(6);
    expect(await watched.page.locator("#takes svg path").count()).toBe(21);
  });

  it("is accessible, wide and narrow, and complains of nothing", async () => {
    for (const width of [390, 1280]) {
      await watched.page.setViewportSize({ width, height: 900 });
      expect(await seriousFindings(watched.page)).toEqual([]);
      expect(await watched.page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
        width,
      );
    }
    expect([watched.outward, watched.complaints]).toEqual([[], []]);
  });

  it("takes no answer that makes no sense", async () => {
    await field("stage's front edge to the last row").fill("1");
    await field("stage's front edge to the last row").press("Enter");
    await expect.poll(() => watched.page.locator("#said").textContent()).toMatch(/back is 1, expected/);
  });

  it("comes to a report in ten answers at most", async () => {
    await answer("height of the arrays' upper edge above the floor", "8");
    await answer("distance between the left and the right array; 0 for one in the centre", "12");
    await answer("distance between the left and the right subs; 0 for all in the centre", "10");
    await answer("stage's front edge to the last row", "28");
    await answer("width of the audience", "18");
    await answer("height of the ceiling; 0 outdoors", "10");
    answers++;
    await watched.page.getByRole("button", { name: "Write the show" }).click();
    await expect
      .poll(() => watched.page.locator("#written").textContent())
      .toMatch(/Written: venue\.json and show\.json/);
    expect(answers).toBeLessThanOrEqual(10);
    const study = runStudy(readShow(folder), { seatCount: 60 });
    expect(study.measurement.problems).toEqual([]);
    expect(study.measured?.survey.positions.length).toBe(6);
    const { files } = writeResultAndReports(study, path.join(folder, "report"));
    expect(files.every(existsSync)).toBe(true);
  });

  it("never writes over what was edited by hand", async () => {
    const file = path.join(folder, "show.json");
    const edited = readFileSync(file, "utf8").replace("Friday", "Saturday");
    writeFileSync(file, edited);
    await watched.page.getByRole("button", { name: "Write the show" }).click();
    await expect.poll(() => watched.page.locator("#written").textContent()).toMatch(/show \(new\)\.json/);
    expect(readFileSync(file, "utf8")).toBe(edited);
  });
});
