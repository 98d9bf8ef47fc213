/**
 * Makes the README's picture: a live panel, as the page draws it. Needs Chromium.
 *
 *     node scripts/run.mjs scripts/picture.ts
 */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { levelOffset } from "../lib/decision/offset/offset";
import { modelSurvey } from "../lib/field/model-survey";
import { panel } from "../lib/lesson/panels";
import { readVenue } from "../lib/venue/file/read";
import { seats } from "../lib/venue/seats";
import { pageAlone } from "./book/page-alone";
import { inRoot } from "./setup/places.mjs";
import { runCommand, SetupError } from "./setup/setup-error.mjs";
import { findBrowser } from "./study/print";

const picture = inRoot(".pictures", "sub-level.png");
const most = 150_000; // bytes: whoever clones the repository fetches it

runCommand(async () => {
  const executablePath = findBrowser();
  if (!executablePath) throw new SetupError("No Chromium was found; EVENGROUND_BROWSER names one.");
  const name = "harbour-theatre.json";
  const venue = readVenue(readFileSync(inRoot("data", "venues", name), "utf8"), name);
  const survey = modelSurvey(venue, seats(venue, { count: 300 }));
  const offset = Math.round(2 * levelOffset(survey).offset_db) / 2;
  const folder = mkdtempSync(path.join(tmpdir(), "picture-"));
  const browser = await chromium.launch({ executablePath, args: ["--no-sandbox"] });
  try {
    const file = path.join(folder, "panel.html");
    writeFileSync(file, pageAlone(panel("sub level", { survey, venue }, { offset }).html));
    const page = await browser.newPage({ viewport: { width: 960, height: 1200 }, colorScheme: "light" });
    await page.goto(pathToFileURL(file).href);
    await page.locator("svg.main-svg").first().waitFor();
    await page.waitForTimeout(1000); // the figure is laid out whole once nothing moves
    mkdirSync(path.dirname(picture), { recursive: true });
    await page.locator("body > *:not(script)").first().screenshot({ path: picture });
  } finally {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  }
  const { size } = statSync(picture);
  console.log(`${picture}: ${Math.round(size / 1000)} kB`);
  return size < most ? 0 : 1;
});
