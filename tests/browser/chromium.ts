/** A headless Chromium that tells on every page: what it asked for, and what it complained about. */
import { type Browser, type BrowserContext, chromium, type Page } from "playwright-core";
import { expect } from "vitest";
import { findBrowser } from "../../scripts/study/print";

export async function openBrowser(): Promise<Browser> {
  const executablePath = process.env.CHROMIUM || findBrowser();
  if (!executablePath) throw new Error("no Chromium found: install it, or name its file in CHROMIUM");
  return chromium.launch({ executablePath, args: ["--no-sandbox"] });
}

export interface Watched {
  readonly page: Page;
  /** Addresses of requests that leave this computer. */
  readonly outward: string[];
  /** Errors on the console, uncaught errors, requests that failed. */
  readonly complaints: string[];
}

export async function watchedPage(context: BrowserContext): Promise<Watched> {
  const page = await context.newPage();
  const outward: string[] = [];
  const complaints: string[] = [];
  page.on("request", (request) => {
    if (!/^(file|data|blob|about|chrome):|^(http|ws):\/\/127\.0\.0\.1[:/]/.test(request.url()))
      outward.push(request.url());
  });
  page.on("console", (message) => {
    if (message.type() === "error") complaints.push(message.text());
  });
  page.on("pageerror", (error) => complaints.push(String(error)));
  page.on("requestfailed", (request) => complaints.push(`${request.url()}: ${request.failure()?.errorText}`));
  return { page, outward, complaints };
}

/** Looks at what stands behind predictions, as a reader does who makes none. */
export async function openGuesses(page: Page): Promise<void> {
  const waiting = page.locator(".evenground-guess:not(:has(form, table))");
  await expect.poll(() => waiting.count(), { timeout: 30_000, interval: 50 }).toBe(0);
  await page.evaluate(() => {
    const buttons = ".evenground-guess form:not([hidden]) button[type=button]";
    for (const button of Array.from(document.querySelectorAll<HTMLButtonElement>(buttons))) button.click();
    (document.activeElement as HTMLElement | null)?.blur();
  });
}

/**
 * Waits until every figure and panel of the page has been drawn, and returns how many there are. They draw themselves
 * wherever they stand; scrolling to each would only make the browser paint them, which takes ten times as long.
 */
export async function drawAll(page: Page): Promise<number> {
  await openGuesses(page);
  const waiting = () =>
    page.evaluate(() => {
      const pieces = Array.from(document.querySelectorAll("figure.evenground"));
      const drawn = ".cartesianlayer .trace, .cartesianlayer .heatmaplayer image";
      const positions = pieces.flatMap((piece) => {
        const inner = Array.from(piece.querySelectorAll(".evenground-figures > .evenground-drawing"));
        return inner.length ? inner : [piece];
      });
      return positions.filter((position) => !position.querySelector(drawn)).length;
    });
  await expect.poll(waiting, { timeout: 30_000, interval: 50 }).toBe(0);
  return page.locator("figure.evenground").count();
}
