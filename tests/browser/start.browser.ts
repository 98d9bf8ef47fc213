import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { homedir, tmpdir } from "node:os";
import path from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { openBrowser, watchedPage } from "./chromium";

const root = path.join(__dirname, "..", "..");
const position = mkdtempSync(path.join(tmpdir(), "start test "));
const home = path.join(position, "home");
const work = path.join(position, "my work");
// pip asks a computer's Rust for its version, and a Rust whose folder is not where HOME says makes a new one there
const homeOfRust = { RUSTUP_HOME: process.env.RUSTUP_HOME ?? path.join(homedir(), ".rustup") };
let browser: Browser;
let course: ChildProcess;
let said = "";
let address: URL;

beforeAll(async () => {
  mkdirSync(home);
  browser = await openBrowser();
  course = start(["--no-browser"]);
  address = await answer();
});
afterAll(async () => {
  await browser?.close();
  if (course?.exitCode === null) course.kill("SIGKILL");
  rmSync(position, { recursive: true, force: true });
});

describe("npm start", () => {
  it("serves on loopback alone, and asks for the token", async () => {
    expect(address.hostname).toBe("127.0.0.1");
    expect(address.searchParams.get("token")?.length).toBeGreaterThan(30);
    expect((await fetch(new URL("/api/contents", address))).status).toBe(403);
    expect((await fetch(new URL(`/api/contents${address.search}`, address))).status).toBe(200);
    // were it on every interface, nobody else could take the port there
    const elsewhere = createServer().listen({ port: Number(address.port), host: "127.0.0.2" });
    await once(elsewhere, "listening");
    elsewhere.close();
  });

  it("offers the TypeScript kernel and no other", async () => {
    const specs = await (await fetch(new URL(`/api/kernelspecs${address.search}`, address))).json();
    expect(Object.keys(specs.kernelspecs)).toEqual(["tslab"]);
  });

  it("shows the lessons and hides what is not the student's", async () => {
    const { content } = await (await fetch(new URL(`/api/contents${address.search}`, address))).json();
    const names = content.map((entry: { name: string }) => entry.name);
    const lessons = readdirSync(path.join(root, "notebooks")).filter((name) => name.endsWith(".ipynb"));
    expect(names).toEqual(expect.arrayContaining(lessons));
    expect(names).not.toContain("node_modules");
  });

  it("runs the first lesson in the page, figures drawn, without asking the network for anything", async () => {
    const context = await browser.newContext({ viewport: { width: 1280, height: 1000 } });
    const { page, outward } = await watchedPage(context);
    await page.goto(address.href);
    await page.locator(".jp-Notebook .jp-Cell").first().waitFor({ timeout: 60_000 });
    await page.getByText("TypeScript | Idle").waitFor({ timeout: 60_000 });
    await page.getByRole("menuitem", { name: "Run", exact: true }).click();
    await page.getByRole("menuitem", { name: /^Run All( Cells)?$/ }).click();
    // The first one stands behind a prediction.
    const figure = page.locator("figure.evenground").nth(1);
    await figure.waitFor({ state: "attached", timeout: 60_000 });
    await figure.scrollIntoViewIfNeeded();
    await figure.locator("svg.main-svg, canvas").first().waitFor({ state: "attached", timeout: 30_000 });
    expect(outward).toEqual([]);
    await context.close();
  });

  it("refuses a port that is taken, in one sentence", async () => {
    const second = start(["--no-browser", "--port", address.port]);
    let heard = "";
    second.stderr?.on("data", (chunk) => {
      heard += chunk;
    });
    expect((await once(second, "exit"))[0]).toBe(1);
    expect(heard.trim()).toBe(
      `Port ${address.port} is in use: stop what runs there, or choose another one with --port NUMBER.`,
    );
  });

  it("leaves the home folder untouched", () => {
    expect(readdirSync(home)).toEqual([]);
  });

  it("stops at Ctrl-C, Jupyter and its kernels with it", async () => {
    course.kill("SIGINT");
    expect((await once(course, "exit"))[0]).toBe(0);
    expect(said).toContain("Stopped.");
    await expect(fetch(address)).rejects.toThrow();
  });
});

/** As a user would, from another folder, with an empty home and a work folder outside the repository. */
function start(args: string[]): ChildProcess {
  return spawn(process.execPath, [path.join(root, "scripts", "start.mjs"), ...args], {
    cwd: position,
    env: { ...process.env, HOME: home, EVENGROUND_WORK: work, INIT_CWD: position, ...homeOfRust },
    stdio: ["ignore", "pipe", "pipe"],
  });
}

function answer(): Promise<URL> {
  return new Promise((resolve, reject) => {
    course.stdout?.on("data", (chunk) => {
      said += chunk;
      const [found] = /http:\/\/\S+token=\w+/.exec(said) ?? [];
      if (found) resolve(new URL(found));
    });
    course.once("exit", () => reject(new Error(`the start ended without an address:\n${said}`)));
  });
}
