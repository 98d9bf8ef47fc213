/** Predictions in the book: by the keyboard alone, kept, listed, and never run as code. */
import path from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { seriousFindings } from "./accessibility";
import { openBrowser, watchedPage } from "./chromium";

const lesson = pathToFileURL(path.join(__dirname, "..", "..", "book", "01-one-show.html")).href;
let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());

it("a prediction is made by keyboard, opens figure and explanation, is kept, and stands in the list", async () => {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, offline: true });
  const { page, complaints } = await watchedPage(context);
  await page.goto(lesson);
  const field = page.getByRole("textbox", {
    name: "The sub relative to the hang, 20 m from the stage, in dB",
  });
  const status = page.getByRole("status").filter({ hasText: "The sub relative to the hang" });
  const explanation = page.getByText("From a small source the level falls");
  const firstFigure = page.locator("figure.evenground").first();
  await field.waitFor();
  expect(await firstFigure.isVisible()).toBe(false);
  expect(await explanation.isVisible()).toBe(false);
  expect(await seriousFindings(page)).toEqual([]);

  await field.focus();
  await page.keyboard.type("loud");
  await page.keyboard.press("Enter");
  await page.getByRole("status").filter({ hasText: "Enter a number" }).waitFor();
  expect(await firstFigure.isVisible()).toBe(false);
  await page.keyboard.press("Control+a");
  await page.keyboard.type("-4,0");
  await page.keyboard.press("Enter");
  expect(await status.textContent()).toMatch(/you said −4 dB; it is −6 dB: 2 dB too high/);
  expect(await status.evaluate((one) => one === document.activeElement)).toBe(true);
  expect(await explanation.isVisible()).toBe(true);
  await firstFigure.locator(".cartesianlayer .trace").first().waitFor();

  // Choices take the arrows; Tab leads on to the buttons. What is shown below waits as well.
  await page.getByRole("radio", { name: "number 2" }).focus();
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Tab");
  expect(await page.locator("[data-waits] > .outputs > *:visible").count()).toBe(0);
  await page.keyboard.press("Enter");
  await page.getByRole("status").filter({ hasText: "number 3, and it is number 3: right" }).waitFor();

  await page.reload();
  await status.waitFor();
  expect(await field.isVisible()).toBe(false);
  const list = page.getByRole("table", { name: "2 of 7 predictions made, 1 of them right." });
  expect(await list.getByRole("row", { name: /20 m from the stage −4 dB −6 dB 2 dB too high/ }).count()).toBe(
    1,
  );
  expect(complaints).toEqual([]);
  await context.close();
});

it("what another page left as a guess is text, and what is no guess is none", async () => {
  const context = await browser.newContext({ offline: true });
  const { page, complaints } = await watchedPage(context);
  await page.addInitScript(() => {
    const said = "<img src=x onerror=document.title='run'>";
    localStorage.setItem(
      "evenground-guesses ",
      JSON.stringify({ "01 most bass": { said, truth: said }, "01 drift": { said: [], truth: {} } }),
    );
  });
  await page.goto(lesson);
  await page
    .getByRole("table")
    .filter({ hasText: "predictions made" })
    .getByText("<img src=x")
    .first()
    .waitFor();
  expect(await page.locator("img[src=x]").count()).toBe(0);
  expect(await page.getByRole("textbox", { name: /^The sub relative/ }).isVisible()).toBe(true);
  expect(complaints).toEqual([]);
  await context.close();
});
