/** What a new user waits for: from a fresh clone to JupyterLab answering, and the second time. */
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { inRoot } from "../setup/places.mjs";
import { run } from "../setup/run.mjs";
import { alone, type Row } from "./rows";

export async function bench(): Promise<Row[]> {
  const place = mkdtempSync(path.join(tmpdir(), "evenground fresh "));
  try {
    const clone = path.join(place, "a clone");
    const home = path.join(place, "home");
    mkdirSync(home);
    const cloned = await run("git", ["clone", "--quiet", inRoot(), clone]);
    if (cloned.code !== 0) throw new Error(cloned.output);
    return [
      alone("fresh clone to JupyterLab answering", await timeToAnswer(clone, home)),
      alone("second start to JupyterLab answering", await timeToAnswer(clone, home)),
    ];
  } finally {
    rmSync(place, { recursive: true, force: true });
  }
}

/** @param home  an empty home folder, so that nothing kept from earlier helps but the network's own caches */
async function timeToAnswer(clone: string, home: string): Promise<number> {
  const start = performance.now();
  const env = { ...process.env, HOME: home, USERPROFILE: home, INIT_CWD: home };
  const child = spawn(process.execPath, [path.join(clone, "scripts", "start.mjs"), "--no-browser"], {
    cwd: home,
    env,
    stdio: ["ignore", "pipe", "inherit"],
  });
  let said = "";
  try {
    for await (const chunk of child.stdout) {
      said += chunk;
      if (/http:\/\/127\.0\.0\.1:\d+\/lab\S*\?token=/.test(said)) return (performance.now() - start) / 1000;
    }
    throw new Error(`the start ended early:\n${said}`);
  } finally {
    const ended = child.exitCode === null ? once(child, "exit") : undefined;
    child.kill("SIGTERM");
    await ended;
  }
}
