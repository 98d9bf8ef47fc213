/** An HTML page on disk into a PDF beside it, by whichever browser of the Chromium family this machine has. */
import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, statSync } from "node:fs";
import { homedir, tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { browserFiles } from "./browsers";

/** The browser that prints: EVENGROUND_BROWSER, or the first one found; undefined where there is none. */
export function findBrowser(): string | undefined {
  const given = process.env.EVENGROUND_BROWSER;
  if (given) return given;
  return browserFiles({ platform: process.platform, env: process.env, home: homedir() }).find(existsSync);
}

/**
 * Prints a page.
 *
 * @param browser  from `findBrowser`
 * @param html     path of the page
 * @returns path of the PDF
 * @throws Error when the browser made none
 */
export function printPage(browser: string, html: string): string {
  const pdf = html.replace(/\.html$/, ".pdf");
  const profile = mkdtempSync(path.join(tmpdir(), "evenground-print-"));
  try {
    const asRoot = process.getuid?.() === 0 ? ["--no-sandbox"] : [];
    const { error } = spawnSync(
      browser,
      [
        "--headless",
        ...asRoot,
        "--disable-gpu",
        "--disable-background-networking",
        "--no-first-run",
        `--user-data-dir=${profile}`,
        // As wide as the printed column: figures are drawn for the window and must fit the sheet.
        "--window-size=690,1000",
        "--no-pdf-header-footer",
        "--virtual-time-budget=20000",
        `--print-to-pdf=${pdf}`,
        pathToFileURL(html).href,
      ],
      { stdio: "ignore", timeout: 120_000 },
    );
    if (error || !existsSync(pdf) || statSync(pdf).size === 0) {
      throw new Error(
        `${path.basename(browser)} made no PDF of ${html}: open the page and print it from there`,
      );
    }
    return pdf;
  } finally {
    // On Windows the browser holds its profile a little longer than it runs.
    rmSync(profile, { recursive: true, force: true, maxRetries: 10 });
  }
}
