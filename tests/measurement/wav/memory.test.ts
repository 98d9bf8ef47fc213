import { execFileSync } from "node:child_process";
import { closeSync, ftruncateSync, mkdtempSync, openSync, rmSync, writeFileSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { buildSync } from "esbuild";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { format, riff } from "./wav-bytes";

const folder = mkdtempSync(join(tmpdir(), "evenground-memory-"));
const child = join(folder, "child.js");

interface Took {
  readonly result: string;
  /** Bytes of memory before anything was read, and at the most. */
  readonly before: number;
  readonly peak: number;
}

beforeAll(() => {
  buildSync({
    entryPoints: [join(__dirname, "memory-child.ts")],
    bundle: true,
    platform: "node",
    outfile: child,
    logLevel: "error",
  });
});
afterAll(() => rmSync(folder, { recursive: true }));

/**
 * Room for new objects is held at its smallest. Left alone it grows with what a version of Node.js thinks quick, by up to
 * 70 MB for one and the same file, and the peak then tells of that instead of what is held.
 */
const collectOften = "--max-semi-space-size=1";

function read(kind: "stream" | "trace", file: string): Took {
  return JSON.parse(execFileSync(process.execPath, [collectOften, child, kind, file], { encoding: "utf8" }));
}

/** Eight channels of 24 bits at 48 kHz: a head, and nothing behind it that takes room on the disk. */
function sparseRecording(seconds: number): string {
  const file = join(folder, `${seconds}.wav`);
  const bytes = seconds * 48000 * 8 * 3;
  const head = riff([
    format({ channels: 8, bits: 24 }),
    { id: "data", body: new Uint8Array(0), claimed: bytes },
  ]);
  const handle = openSync(file, "w");
  writeSync(handle, head);
  ftruncateSync(handle, head.length + bytes);
  closeSync(handle);
  return file;
}

describe("a recording of any length, read in blocks into averaged spectra", () => {
  it("takes less than 150 MB in all, and no more when it is four times as long", () => {
    const short = read("stream", sparseRecording(10));
    const long = read("stream", sparseRecording(40));
    expect(long.result).toMatch(/^1920000 frames/);
    expect(long.peak).toBeLessThan(150e6);
    // The long file is 46 MB: were it held, even once, it would show.
    expect(long.peak - short.peak).toBeLessThan(20e6);
  });
});

describe("a trace file made to waste memory", () => {
  const size = 10_000_000;
  const cases: [string, string][] = [
    ["rows without end", `frequency_hz,level\n${"1,2\n".repeat(size / 4)}`],
    [
      "as many different rows as are taken",
      `frequency_hz,level\n${Array.from({ length: 300_000 }, (_, i) => `${i + 1},1\n`).join("")}`,
    ],
    ["comments without end", "# abc\n".repeat(size / 6)],
    ["blank lines without end", "\n".repeat(size)],
    ["one line without end", "a".repeat(size)],
    ["quotes without end", '"'.repeat(size)],
    ["columns without end", ",".repeat(size)],
    ["digits without end", `frequency_hz,level\n1,${"1".repeat(size)}`],
  ];
  for (const [what, text] of cases) {
    it(`takes no more than twice its size and 70 MB: ${what}`, () => {
      const file = join(folder, "waste.csv");
      writeFileSync(file, text);
      const { result, before, peak } = read("trace", file);
      expect(result).toMatch(/^300000 rows$|^trace "waste.csv": [^\n]{10,300}$/);
      expect(peak - before).toBeLessThan(2 * text.length + 70e6);
    });
  }
});
