/**
 * Many browsers that open the course's pages of files at once: what the first figure of the first lesson asks for is fetched by each.
 * Chromium tells once which files those are.
 *
 *     node scripts/run.mjs scripts/class/checks/files.ts --address http://127.0.0.1:8080/ [--clients 200]
 *
 * The address is that of a small server of files for `site/`, on this machine alone.
 */
import assert from "node:assert/strict";
import { Agent, get } from "node:http";
import { chromium } from "playwright-core";
import { readOptions } from "../../setup/options.mjs";
import { runCommand, SetupError } from "../../setup/setup-error.mjs";
import { findBrowser } from "../../study/print";

/** As many connections as a browser opens to one server. */
const perBrowser = 6;

runCommand(async () => {
  const read = readOptions(process.argv.slice(2), {
    call: "node scripts/run.mjs scripts/class/checks/files.ts",
    options: {
      address: { value: "URL", says: "of the folder site/", needed: true },
      clients: { value: "N", says: "browsers at once", whole: [1, 1000], usual: 200 },
    },
  });
  if (!read) return 0;
  const { address, clients } = read.values;
  const base = new URL(address);
  if (!["127.0.0.1", "localhost", "[::1]"].includes(base.hostname))
    throw new SetupError(`--address is ${address}, expected this machine: a load is put on nobody else's.`);
  for (const [way, page] of Object.entries({
    "the book": "book/01-one-show.html",
    JupyterLite: "jupyter/lab/index.html?path=01-one-show.ipynb",
  })) {
    const files = await filesToTheFirstFigure(new URL(page, base));
    const start = performance.now();
    const told = await Promise.all(Array.from({ length: clients }, () => oneBrowser(files)));
    const slowest = (performance.now() - start) / 1000;
    const times = told.map(({ done }) => (done - start) / 1000).sort((a, b) => a - b);
    const bytes = told.reduce((sum, one) => sum + one.bytes, 0);
    console.log(
      `${way}: ${clients} clients, ${files.length} files, ${(bytes / clients / 1e6).toFixed(2)} MB each; ` +
        `all after ${slowest.toFixed(1)} s, half after ${times[clients >> 1].toFixed(1)} s; ${((bytes * 8e-6) / slowest).toFixed(0)} Mbit/s`,
    );
  }
  return 0;
});

/** @returns addresses in the order in which a browser that was never here asks for them */
async function filesToTheFirstFigure(page: URL): Promise<URL[]> {
  const executablePath = findBrowser();
  if (!executablePath) throw new SetupError("No Chromium was found; EVENGROUND_BROWSER names one.");
  const browser = await chromium.launch({ executablePath, args: ["--no-sandbox"] });
  try {
    const view = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    view.setDefaultTimeout(120_000);
    const asked = new Set<string>();
    view.on("requestfinished", (request) => {
      if (request.url().startsWith(page.origin)) asked.add(request.url());
    });
    await view.goto(page.href);
    if (page.pathname.includes("/jupyter/")) {
      await view.locator(".jp-CodeCell:visible").first().click();
      await view.keyboard.press("Shift+Enter");
    } else {
      // Its figure is there without a kernel; who runs the cell fetches that as well.
      await view.getByRole("button", { name: "Run cell 1", exact: true }).click();
      await view.getByRole("status").first().filter({ hasText: "has run" }).waitFor();
    }
    await view.getByRole("button", { name: "Show me without a guess" }).first().click();
    await view.locator(".cartesianlayer .trace").first().waitFor();
    return [...asked].map((one) => new URL(one));
  } finally {
    await browser.close();
  }
}

async function oneBrowser(files: readonly URL[]): Promise<{ bytes: number; done: number }> {
  const agent = new Agent({ keepAlive: true, maxSockets: perBrowser });
  const sizes = await Promise.all(files.map((file) => fetchWith(agent, file)));
  agent.destroy();
  return { bytes: sizes.reduce((sum, size) => sum + size, 0), done: performance.now() };
}

/** @returns how many bytes came over the wire, as compressed as the server sends them */
function fetchWith(agent: Agent, file: URL): Promise<number> {
  return new Promise((resolve, reject) => {
    get(file, { agent, headers: { "accept-encoding": "gzip" } }, (response) => {
      assert(response.statusCode === 200 || response.statusCode === 404, `${file}: ${response.statusCode}`);
      let bytes = 0;
      response.on("data", (chunk: Buffer) => {
        bytes += chunk.length;
      });
      response.on("end", () => resolve(bytes));
      response.on("error", reject);
    }).on("error", reject);
  });
}
