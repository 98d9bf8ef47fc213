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

const boundaries = pathToFileURL(path.join(__dirname, "..", "..", "book", "05-boundaries.html")).href;

it("a curve is drawn by keyboard, judged in words, kept, and stands in the figure beside what is true", async () => {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, offline: true });
  const { page, complaints } = await watchedPage(context);
  await page.goto(boundaries);
  const points = page.getByRole("group", { name: "Your curve" }).getByRole("slider");
  const form = page.locator("form", { has: points.first() });
  const status = page.getByRole("status").filter({ hasText: "Gain or loss by the wall" });
  const figure = page.locator("figure.evenground").first();
  await points.first().waitFor();
  expect(await seriousFindings(page)).toEqual([]);
  await form.getByRole("button", { name: "That is my guess" }).click();
  await page.getByRole("status").filter({ hasText: "draw the curve" }).waitFor();

  // Nothing is said of 160 Hz, where the wall takes 12 dB: 20 lg of 2 cos(π 160 Hz · 3.3 m / 343.2 m/s).
  await points.first().focus();
  for (let i = 0; i < 5; i++) await page.keyboard.press("ArrowUp");
  expect(await points.first().getAttribute("aria-valuetext")).toBe("5 dB");
  await page.keyboard.press("Tab");
  await page.keyboard.press("Tab");
  await page.keyboard.press("Home");
  expect(await points.nth(2).getAttribute("aria-valuetext")).toBe("−20 dB");
  for (let i = 0; i < 4; i++) await page.keyboard.press("ArrowRight");
  expect(await points.nth(2).inputValue()).toBe("-16");
  for (let i = 2; i < 8; i++) await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  expect(await status.textContent()).toMatch(
    /your curve is off by .* dB on average, farthest off at 160 Hz: 12\.\d dB too high/,
  );
  await figure.getByText("your guess").waitFor();
  expect(await figure.locator(".scatterlayer .trace").count()).toBe(2);

  await page.reload();
  await figure.getByText("your guess").waitFor();
  await page.getByRole("button", { name: "Guess again" }).first().click();
  expect(await points.first().evaluate((one) => one === document.activeElement)).toBe(true);
  await points.first().press("ArrowUp");
  await form.getByRole("button", { name: "Show me without a guess" }).click();
  await expect.poll(() => figure.getByText("your guess").count()).toBe(0);
  expect(await seriousFindings(page)).toEqual([]);
  expect(complaints).toEqual([]);
  await context.close();
});

it("a curve is drawn with the pointer on a narrow page", async () => {
  const context = await browser.newContext({ viewport: { width: 390, height: 800 }, offline: true });
  const { page, complaints } = await watchedPage(context);
  await page.goto(boundaries);
  const picture = page.getByRole("group", { name: "Your curve" });
  await picture.scrollIntoViewIfNeeded();
  const points = picture.getByRole("slider");
  const box = (await picture.locator("svg").boundingBox()) as {
    x: number;
    y: number;
    width: number;
    height: number;
  };
  expect(box.width).toBeLessThan(390);
  const dots = picture.locator("circle");
  const [from, to] = await Promise.all([dots.first().boundingBox(), dots.last().boundingBox()]);
  if (!from || !to) throw new Error("the curve has no points");
  await page.mouse.move(from.x + 8, box.y + 20);
  await page.mouse.down();
  await page.mouse.move(to.x + 8, box.y + box.height - 40, { steps: 30 });
  await page.mouse.up();
  const values = await points.evaluateAll((all) => all.map((one) => Number((one as HTMLInputElement).value)));
  expect(values[0]).toBeGreaterThan(5);
  expect(values[7]).toBeLessThan(-15);
  expect(values).toEqual([...values].sort((a, b) => b - a));
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
  expect(complaints).toEqual([]);
  await context.close();
});

it.each([
  ["too short", "[1]"],
  ["a text", '"<img src=x>"'],
  ["nothing finite", "[null,null,null,null,null,null,null,null]"],
  ["off the scale", "[1e308,0,0,0,0,0,0,0]"],
  ["an answer of an earlier kind", '"no frequency"'],
])("a kept curve that is none counts as not guessed: %s", async (_, said) => {
  const context = await browser.newContext({ offline: true });
  const { page, complaints } = await watchedPage(context);
  await page.addInitScript((curve) => {
    const kept = `{"05 wall":{"said":${curve},"truth":[0,0,0,0,0,0,0,0]}}`;
    localStorage.setItem("evenground-guesses ", kept);
  }, said);
  await page.goto(boundaries);
  await page.getByRole("group", { name: "Your curve" }).waitFor();
  await page.getByRole("table", { name: /^0 of 9 predictions made/ }).waitFor();
  expect(await page.locator("img[src=x]").count()).toBe(0);
  expect(complaints).toEqual([]);
  await context.close();
});
