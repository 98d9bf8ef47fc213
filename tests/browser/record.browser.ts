/** The page of `npm run record` in a real browser: caution before the button, meters, takes refused and taken, keys alone. */
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readVenue } from "../../lib/venue/file/read";
import { type Served, servePage } from "../../scripts/local-page/serve";
import { recordPage } from "../../scripts/record/page";
import { type Session, startSession } from "../../scripts/record/session";
import { freePort } from "../../scripts/start/free-port.mjs";
import { type StandIn, standIn } from "../scripts/record/stand-in";
import { seriousFindings } from "./accessibility";
import { openBrowser, type Watched, watchedPage } from "./chromium";

const venueFile = path.join(__dirname, "..", "..", "data", "venues", "harbour-theatre.json");
const venue = readVenue(readFileSync(venueFile, "utf8"), "venue.json");
const positions = ["row A", "row D", "row H", "row L", "row T", "mix position"];
const setting = { inputs: 7, outputs: 2, rate: 16_000 };

let folder: string;
let browser: Browser;
let recorder: StandIn;
let session: Session;
let served: Served;
let watched: Watched;
beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), "evenground-record-page-"));
  copyFileSync(venueFile, path.join(folder, "venue.json"));
  recorder = standIn(venue, positions, setting);
  const options = {
    folder,
    setting,
    venue: { file: "venue.json", venue },
    reference: 1,
    positions,
    seconds: 8,
    name: "x",
  };
  session = startSession(recorder, { ...options, microphones: [2, 3, 4, 5, 6, 7] }, () => served?.tell());
  served = await servePage(recordPage(session), await freePort(undefined, 8951));
  browser = await openBrowser();
  watched = await watchedPage(await browser.newContext({ viewport: { width: 1280, height: 900 } }));
  await watched.page.goto(served.address);
}, 60_000);
afterAll(async () => {
  await browser?.close();
  await served?.close();
  await session?.close();
  rmSync(folder, { recursive: true, force: true });
});

const text = async (id: string) => (await watched.page.locator(`#${id}`).ariaSnapshot()).replace(/\s+/g, " ");
const press = (name: string | RegExp) => watched.page.getByRole("button", { name }).first().click();

describe("the page that records", () => {
  it("says what can hurt before the button that plays, which begins at −60 dB", async () => {
    const order = await watched.page.evaluate(() => {
      const [caution, play] = [document.getElementById("caution")!, document.getElementById("play")!];
      return Boolean(caution.compareDocumentPosition(play) & Node.DOCUMENT_POSITION_FOLLOWING);
    });
    expect(order).toBe(true);
    expect(await text("caution")).toMatch(/harm hearing/);
    expect(await watched.page.locator("#level").inputValue()).toBe("-60");
    await expect(watched.page.getByRole("button", { name: "Record mains" }).isDisabled()).resolves.toBe(true);
  });

  it("shows inputs with their use, level, peak and clip", async () => {
    const peak = [0.1, 0.5, 0, 0, 0, 0, 1];
    recorder.tell({ event: "levels", peak, rms: peak.map((x) => x / 4), frame: null, gain: 0 });
    await expect.poll(() => text("inputs")).toMatch(/1\s+loop-back\s+−32\s+−20/);
    expect(await text("inputs")).toMatch(/7\s+microphone\s+−12\s+0\s+clipped: lower the gain/);
    expect(await text("left")).toMatch(/The disk takes \d+ (hours|minutes) more/);
    await press("Clear peaks and clips");
    await expect.poll(() => text("inputs")).not.toMatch(/clipped/);
  });

  it("plays only what was asked for, louder by steps of a person, and stops by Escape", async () => {
    await press(/^Play pink noise/);
    await expect.poll(() => text("level-state")).toMatch(/Plays at −60 dB/);
    for (let i = 0; i < 10; i++) await press("3 dB higher");
    await expect.poll(() => text("level-state")).toMatch(/Plays at −30 dB/);
    await watched.page.keyboard.press("Escape");
    await expect.poll(() => text("level-state")).toMatch(/Silent\. Takes will play at −30 dB/);
    expect(recorder.orders.map((order) => order.do)).toEqual([
      "play",
      ...new Array(10).fill("level"),
      "quiet",
    ]);
  });

  it("refuses a take with its reason, takes its repetition, and goes on to the estimate", async () => {
    await press("Record match");
    await expect.poll(() => text("last")).toMatch(/match is recorded and good/);
    await press("Record noise");
    await expect.poll(() => text("last")).toMatch(/noise is recorded and good/);
    recorder.fault = (channels) => channels[2].fill(0);
    await press("Record mains");
    await expect.poll(() => text("last")).toMatch(/mains can't be used; repeat it:.*channel 3 is silent/);
    expect(await text("now")).toMatch(
      /Mains alone: can't be used.*channel 3 is silent.*protect your ears.*Repeat mains/,
    );
    await press("Repeat mains");
    await expect.poll(() => text("last"), { timeout: 15_000 }).toMatch(/mains is recorded and good/);
    expect(await text("now")).toMatch(/Next: Subs alone.*at −30 dB: protect your ears.*Record subs/);
    expect(await text("last")).toMatch(/row T\s+[\d.]+\s+[\d.]+/);
    await press("Record subs");
    await expect
      .poll(() => text("last"), { timeout: 15_000 })
      .toMatch(
        /Level offset of the subs, by the microphones alone:.* by 6 positions.*comes from npm run study/,
      );
    // Magnitude and coherence of each.
    await expect.poll(() => watched.page.locator("#curves path").count()).toBe(12);
  });

  it("asks once for the air, which every take then carries and can have changed", async () => {
    await watched.page.locator("#temperature").fill("23.5");
    await watched.page.locator("#temperature").press("Enter");
    await press("Repeat subs");
    const field = watched.page.getByLabel("temperature at subs-take-2");
    await expect.poll(() => field.inputValue(), { timeout: 15_000 }).toBe("23.5");
    expect(await text("last")).toMatch(/To the take before.*are the average of 2 takes/);
    await field.fill("22");
    await field.press("Enter");
    await press("Leave out subs");
    await expect.poll(() => watched.page.getByLabel("temperature at subs", { exact: true }).count()).toBe(0);
    const { takes } = JSON.parse(readFileSync(path.join(folder, "show.json"), "utf8"));
    expect(takes[1]).toMatchObject({ recording: "subs-take-2.wav", temperature: 22 });
  });

  it("proposes points around the mix position and asks for them", async () => {
    await press("Measure 3 points at mix position");
    await expect.poll(() => text("takes")).toMatch(/mix position\/2 on input 2, mix position\/3 on input 3/);
  });

  it("marks a walk by a key, and tells where bands part and where to stop", async () => {
    await press("Record walk");
    await expect.poll(() => text("now")).toMatch(/Recording: A walk.*0 of 6 positions marked/);
    for (const { at } of recorder.passes) {
      recorder.passed(at);
      await watched.page.keyboard.press(at > 10 ? "PageDown" : "m");
      await watched.page.waitForTimeout(30);
    }
    await expect.poll(() => text("now")).toMatch(/6 of 6 positions marked/);
    await press("End the walk");
    await expect.poll(() => text("last"), { timeout: 20_000 }).toMatch(/The best place to stop is/);
    await expect.poll(() => watched.page.locator("#path path").count()).toBe(2);
  });

  it.each([1280, 390])("is accessible and within the page at %i pixels", async (width) => {
    await watched.page.setViewportSize({ width, height: 900 });
    expect(await seriousFindings(watched.page)).toEqual([]);
    expect(await watched.page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
      width,
    );
  });

  it("asks nothing of any other computer and complains of nothing", () => {
    expect(watched.outward).toEqual([]);
    expect(watched.complaints).toEqual([]);
  });
});
