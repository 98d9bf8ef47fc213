/**
 * A Python process that holds the same data and runs a named task when asked, so that both sides can take turns.
 */
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";

export interface PeerProcess {
  /** Runs a task: seconds it took, and a few figures of its result. */
  run(task: string): Promise<{ readonly seconds: number; readonly figures: readonly number[] }>;
  close(): void;
}

/**
 * Starts a script with doubles on file; it answers each line (a task) with a line of JSON.
 *
 * @param python  interpreter
 * @param script  path of the Python script; its first argument is the file of doubles, the second the row length
 * @param rows  channels of one length
 */
export function startPeer(python: string, script: string, rows: readonly Float64Array[]): PeerProcess {
  const folder = mkdtempSync(join(tmpdir(), "bench-"));
  const file = join(folder, "rows.f64");
  writeFileSync(file, Buffer.concat(rows.map((r) => Buffer.from(r.buffer, r.byteOffset, r.byteLength))));
  const child = spawn(python, [script, file, String(rows[0].length)], { stdio: ["pipe", "pipe", "inherit"] });
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  return {
    async run(task) {
      child.stdin.write(`${task}\n`);
      const { value, done } = await lines.next();
      if (done) throw new Error(`${script} ended without an answer to "${task}"`);
      return JSON.parse(value);
    },
    close() {
      child.stdin.end();
      child.kill();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Seconds of one call and its result. */
export function timed<T>(work: () => T): { seconds: number; value: T } {
  const start = performance.now();
  const value = work();
  return { seconds: (performance.now() - start) / 1000, value };
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}
