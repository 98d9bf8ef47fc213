/**
 * What a student sees in the page when something falls over in a class, and that the way on which the page names works.
 *
 * As root, beside `npm run class`, with a student whose work may be written into; Chromium must be there:
 *
 *     node scripts/run.mjs scripts/class/checks/page.ts --student NAME --folder CLASS-FOLDER [--address http://127.0.0.1:8000] [--only WORD]
 */
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import {
  appendFileSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { type BrowserContext as Context, chromium, type Page } from "playwright-core";
import { readOptions } from "../../setup/options.mjs";
import { runCommand, SetupError } from "../../setup/setup-error.mjs";
import { findBrowser } from "../../study/print";

const LESSON = "01-one-show.ipynb";
let [address, student, folder, work, base] = ["", "", "", "", ""];
const onDisk = () => readFileSync(path.join(work, LESSON), "utf8");
const run = Date.now();
/** What is written bears the time of this run: an earlier one may have left its own words. */
const mark = (words: string) => `// ${words} (${run})`;

/** Each gives what the page said. */
const faults: { readonly [title: string]: (context: Context) => Promise<string> } = {
  async "two tabs on one notebook"(context) {
    const [first, second] = [await lesson(context), await lesson(context)];
    await saved(first, "of the first tab");
    await write(second, mark("of the second tab"));
    await save(second);
    const said = await dialog(second, /changed on disk/);
    assert.ok(!onDisk().includes(mark("of the second tab")), "the second tab wrote over the first");
    await press(second, "Revert");
    await until(async () => (await text(second)).includes(mark("of the first tab")));
    assert.ok(onDisk().includes(mark("of the first tab")));
    return said;
  },

  async "lesson renewed by an update while it is open and changed"(context) {
    const page = await lesson(context);
    await write(page, mark("not saved yet"));
    // As the hand-out does it: a new file in the old one's place.
    const newer = JSON.parse(onDisk());
    newer.metadata.edition = `newer ${Date.now()}`;
    const file = path.join(work, LESSON);
    const { uid, gid } = statSync(file);
    await sleep(1500);
    replace(file, JSON.stringify(newer, null, 1), uid, gid);
    await save(page);
    const said = await dialog(page, /changed on disk/);
    await press(page, "Overwrite");
    await until(() => onDisk().includes(mark("not saved yet")));
    return said;
  },

  async "kernel killed within a cell"(context) {
    const page = await lesson(context);
    await saved(page, "saved before the kernel died");
    await idle(page);
    await runFirst(page, "for (const end = Date.now() + 60000; Date.now() < end; );");
    await sleep(3000);
    killOf(student, "typescript-kernel");
    const said = await dialog(page, /died|restart/i);
    await press(page, "Ok");
    await idle(page);
    await answers(page);
    assert.ok(onDisk().includes(mark("saved before the kernel died")));
    return said;
  },

  async "a cell asks for more memory than there is"(context) {
    const page = await lesson(context);
    await saved(page, "saved before memory ran out");
    await idle(page);
    await runFirst(
      page,
      "const all: number[][] = []; for (;;) all.push(Array.from({ length: 1e5 }, Math.random));",
    );
    const said = await dialog(page, /died|restart/i, 120);
    await press(page, "Ok");
    await idle(page);
    await answers(page);
    assert.ok(onDisk().includes(mark("saved before memory ran out")));
    return said;
  },

  async "disk full while saving"(context) {
    const page = await lesson(context);
    const before = onDisk();
    const full = path.join(work, "full");
    const identity = (what: string) => execFileSync("id", [what, student], { encoding: "utf8" }).trim();
    mkdirSync(full, { recursive: true });
    const options = `size=300k,uid=${identity("-u")},gid=${identity("-g")},mode=700`;
    execFileSync("mount", ["-t", "tmpfs", "-o", options, "full-disk", full]);
    try {
      const small = path.join(full, LESSON);
      writeFileSync(small, before);
      execFileSync("chown", [`${student}:`, small]);
      const there = await lesson(context, `full/${LESSON}`);
      await write(there, mark("fits"));
      await save(there);
      await until(() => readFileSync(small, "utf8").includes(mark("fits")));
      fill(path.join(full, "other-files"));
      await write(there, mark("does not fit"));
      await save(there);
      const said = await dialog(there, /save/i);
      assert.ok(
        readFileSync(path.join(full, LESSON), "utf8").includes(mark("fits")),
        "the earlier version is gone",
      );
      await dismiss(there);
      execFileSync("rm", [path.join(full, "other-files")]);
      await save(there);
      await until(() => readFileSync(path.join(full, LESSON), "utf8").includes(mark("does not fit")));
      return said;
    } finally {
      await page.close();
      execFileSync("umount", ["--lazy", full]);
    }
  },

  async "hub killed"(context) {
    const page = await lesson(context);
    killOf(undefined, path.join("server", "jupyterhub_config.py"));
    await saved(page, "while the hub was away");
    await until(async () => (await page.request.get(`${address}/hub/health`)).ok(), 90);
    await page.reload();
    await opened(page);
    return "nothing: writing and saving go on";
  },

  async "proxy killed"(context) {
    const page = await lesson(context);
    await idle(page); // what is still being loaded then would have to be opened again
    const [pid] = readFileSync(path.join(folder, "state", "proxy.pid"), "utf8").split("\n");
    process.kill(Number(pid), "SIGKILL");
    const said = await seen(page, ".jp-Dialog-content, .Toastify__toast", 20);
    await until(async () => (await page.request.get(`${base}/api/status`)).ok(), 90);
    await until(async () => {
      if (await page.locator(".jp-Dialog").count()) await dismiss(page);
      return (await page.locator(".jp-Dialog").count()) === 0;
    });
    await write(page, mark("after the proxy was away"));
    await save(page);
    await until(() => onDisk().includes(mark("after the proxy was away")), 60);
    return said;
  },

  async "the student's server killed"(context) {
    const page = await lesson(context);
    await saved(page, "before the server died");
    killOf(student, "jupyterhub.singleuser");
    await write(page, mark("after the server died"));
    const said = await dialog(page, /server|connection/i, 90);
    await startedAgain(page);
    await until(async () => (await text(page)).includes(mark("before the server died")));
    return said;
  },

  async "the student's server ended, as when nobody has used it for an hour"(context) {
    const page = await lesson(context);
    await saved(page, "before the pause");
    // What the hub does to a server that is idle: its own interface asks for the same.
    await page.request.get(`${address}/hub/home`);
    const token = (await context.cookies(`${address}/hub/`)).find((c) => c.name === "_xsrf")?.value ?? "";
    const ended = await page.request.delete(`${address}/hub/api/users/${student}/server`, {
      headers: { "X-XSRFToken": token, Referer: `${address}/hub/home` },
    });
    assert.ok(ended.ok(), `the hub answered ${ended.status()}`);
    await write(page, mark("after the pause"));
    const said = await dialog(page, /server|connection/i, 90);
    await startedAgain(page);
    await until(async () => (await text(page)).includes(mark("before the pause")));
    await answers(page);
    return said;
  },
};

runCommand(async () => {
  const read = readOptions(process.argv.slice(2), {
    call: "node scripts/run.mjs scripts/class/checks/page.ts",
    options: {
      student: { value: "NAME", needed: true, says: "whose work may be written into" },
      folder: { value: "FOLDER", needed: true, place: "any", says: "the class's" },
      address: {
        value: "URL",
        usual: "http://127.0.0.1:8000",
        says: "of a class on this machine: it is broken on purpose",
      },
      only: { value: "WORD", usual: "", says: "faults whose title contains this" },
    },
  });
  if (!read) return 0;
  ({ address, student, folder } = read.values);
  if (!address.includes("127.0.0.1"))
    throw new SetupError("Only a class on this machine is broken on purpose.");
  work = path.join(folder, "work", student, "course");
  base = `${address}/user/${student}`;
  const executablePath = findBrowser();
  const browser = await chromium.launch({ executablePath, args: ["--no-sandbox"] });
  const chosen = Object.entries(faults).filter(([title]) => title.includes(read.values.only));
  let failed = 0;
  for (const [title, fault] of chosen) {
    const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
    context.setDefaultTimeout(60_000);
    try {
      await logIn(context);
      const said = await fault(context);
      console.log(`${title}: nothing saved is lost. The page says: ${said}`);
    } catch (error) {
      failed++;
      console.log(`${title}: ${String(error).slice(0, 600)}`);
      for (const [i, page] of context.pages().entries())
        await page.screenshot({ path: path.join(tmpdir(), `fault-${i}.png`) }).catch(() => {});
    }
    await context.close();
  }
  await browser.close();
  console.log(`${chosen.length - failed} passed, ${failed} failed`);
  return failed ? 1 : 0;
});

async function logIn(context: Context) {
  const page = await context.newPage();
  await page.goto(`${address}/hub/login`);
  await page.locator("#username_input").fill(student);
  await page.locator("#password_input").fill(`a password of ${student}`);
  await page.locator("#login_submit").click();
  await page.waitForURL(/\/user\/|\/hub\/(home|spawn)/);
  await page.goto(`${address}/hub/spawn/${student}`);
  await page.waitForURL(/\/user\/.*\/lab/, { timeout: 120_000 });
  await page.close();
}

/** A new tab with the lesson. */
async function lesson(context: Context, file: string = LESSON) {
  const page = await context.newPage();
  await page.goto(`${base}/lab/tree/${file}?reset`);
  await opened(page);
  return page;
}

async function opened(page: Page) {
  await page.locator(".jp-Notebook .jp-CodeCell .cm-content").first().waitFor({ timeout: 120_000 });
  const choose = page.locator(".jp-Dialog:has-text('Select Kernel') button:has-text('Select')");
  if (await choose.count()) await choose.click();
}

/** The way back that the page offers: the hub starts the server again as soon as it has seen that it is gone. */
async function startedAgain(page: Page) {
  await until(async () => !(await page.request.get(`${base}/api/status`)).ok(), 90);
  await until(async () => {
    await page.goto(`${address}/hub/spawn/${student}`);
    await page.waitForURL(/\/user\/.*\/lab/, { timeout: 20_000 });
    await page.locator("#jp-top-panel, .jp-LabShell").first().waitFor({ timeout: 60_000 });
    return true;
  }, 180);
  await page.goto(`${base}/lab/tree/${LESSON}?reset`);
  await opened(page);
}

function editor(page: Page) {
  return page.locator(".jp-Notebook .jp-CodeCell .cm-content").first();
}

/** Writes a line at the start of the first cell of code. */
async function write(page: Page, line: string) {
  await editor(page).click();
  await page.keyboard.press("Control+Home");
  await page.keyboard.type(`${line}\n`);
}

/** Writes a line and saves it, and waits until it is on the disk. */
async function saved(page: Page, words: string): Promise<void> {
  await write(page, mark(words));
  await save(page);
  await until(() => onDisk().includes(mark(words)));
}

function save(page: Page) {
  return page.keyboard.press("Control+s");
}

function text(page: Page) {
  return page.locator(".jp-Notebook .cm-content").allInnerTexts().then(String);
}

function idle(page: Page) {
  return page.getByText("TypeScript | Idle").waitFor({ timeout: 90_000 });
}

async function runFirst(page: Page, code: string) {
  await editor(page).click();
  await page.keyboard.press("Control+a");
  await page.keyboard.type(code);
  await page.keyboard.press("Control+Enter");
}

async function answers(page: Page) {
  await runFirst(page, 'console.log("at " + "work again");');
  await page.getByText("at work again").first().waitFor();
}

/** The words of a question that the page asks. */
async function dialog(page: Page, about: RegExp, seconds: number = 60) {
  const box = page.locator(".jp-Dialog-content").filter({ hasText: about });
  await box.first().waitFor({ timeout: seconds * 1000 });
  return String(await box.first().allInnerTexts())
    .replace(/\s+/g, " ")
    .trim();
}

async function seen(page: Page, selector: string, seconds: number) {
  const box = page.locator(selector).first();
  await box.waitFor({ timeout: seconds * 1000 }).catch(() => {});
  return (await box.count())
    ? String(await box.allInnerTexts())
        .replace(/\s+/g, " ")
        .trim()
    : "nothing";
}

function press(page: Page, name: string) {
  return page.locator(".jp-Dialog-footer button").filter({ hasText: name }).first().click({ timeout: 5000 });
}

/** Presses the last button of a question, the only one where it is a piece of news. */
async function dismiss(page: Page) {
  const close = page.locator(".jp-Dialog-footer button");
  await close.last().click({ timeout: 5000 });
}

/** Writes a file until the disk is full. */
function fill(file: string) {
  try {
    for (;;) appendFileSync(file, Buffer.alloc(4096));
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ENOSPC") throw error;
  }
}

async function until(holds: () => boolean | Promise<boolean>, seconds: number = 30) {
  for (const end = Date.now() + seconds * 1000; Date.now() < end; await sleep(300))
    if (await Promise.resolve(holds()).catch(() => false)) return;
  throw new Error(`after ${seconds} s still not: ${holds}`);
}

function sleep(ms: number) {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

/** Kills processes of the class alone: by a word of their command line and their account. */
function killOf(account: string | undefined, word: string) {
  const user = Number(execFileSync("id", ["-u", account ?? "root"], { encoding: "utf8" }));
  for (const id of readdirSync("/proc").filter((name) => /^\d+$/.test(name))) {
    try {
      if (!readFileSync(`/proc/${id}/cmdline`, "utf8").includes(word) || statSync(`/proc/${id}`).uid !== user)
        continue;
      // A class of another folder runs the same programs.
      if (!account && !readFileSync(`/proc/${id}/environ`, "utf8").includes(`"folder":"${folder}"`)) continue;
      process.kill(Number(id), "SIGKILL");
    } catch {
      // ended by itself
    }
  }
}

function replace(file: string, content: string, uid: number, gid: number) {
  const draft = `${file}.draft`;
  writeFileSync(draft, content);
  spawnSync("chown", [`${uid}:${gid}`, draft]);
  spawnSync("mv", [draft, file]);
  const now = new Date();
  utimesSync(file, now, now);
}
