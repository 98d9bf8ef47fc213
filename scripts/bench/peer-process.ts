/**
 * A Python process that holds the same data and runs a named task when asked, so that both sides can take turns.
 */
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";

/** Runs a task: the seconds it took. A few figures of its result are looked at outside of them. */
export type Peer = (task: string, look: (figures: readonly number[]) => void) => Promise<number>;

/**
 * Starts a script with doubles on file; it answers each line (a task) with a line of JSON (`peer.py`).
 *
 * @param python  interpreter
 * @param script  Python script beside this file; its first argument is the file of doubles, the second the row length
 * @param rows  channels of one length
 * @param use  what to do with it; it ends thereafter
 */
export async function withPeer<T>(
  python: string,
  script: string,
  rows: readonly Float64Array[],
  use: (peer: Peer) => Promise<T>,
): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), "bench-"));
  const file = join(folder, "rows.f64");
  writeFileSync(file, Buffer.concat(rows.map((r) => Buffer.from(r.buffer, r.byteOffset, r.byteLength))));
  const args = [join(__dirname, script), file, String(rows[0].length)];
  const child = spawn(python, args, { stdio: ["pipe", "pipe", "inherit"] });
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  try {
    return await use(async (task, look) => {
      child.stdin.write(`${task}\n`);
      const { value, done } = await lines.next();
      if (done) throw new Error(`${script} ended without an answer to "${task}"`);
      const { seconds, figures } = JSON.parse(value);
      look(figures);
      return seconds;
    });
  } finally {
    child.stdin.end();
    child.kill();
    rmSync(folder, { recursive: true, force: true });
  }
}
