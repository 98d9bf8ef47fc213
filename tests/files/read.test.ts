import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readPlainFile, textOf } from "../../lib/files/read";

const posix = process.platform !== "win32";
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "files "));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => path.join(folder, name);

describe("a file's content", () => {
  it("is what was written, up to the very last byte that is allowed", () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 20_000 }), (bytes) => {
        writeFileSync(at("a"), bytes);
        expect(Buffer.compare(readPlainFile(at("a"), bytes.length), bytes)).toBe(0);
        if (bytes.length > 0)
          expect(() => readPlainFile(at("a"), bytes.length - 1)).toThrow(
            `is ${bytes.length} bytes, expected at most ${bytes.length - 1}`,
          );
      }),
      { numRuns: 30 },
    );
  });

  it("is told to be missing, or no file", () => {
    expect(() => readPlainFile(at("nothing"), 10)).toThrow("does not exist");
    expect(() => readPlainFile(folder, 10)).toThrow(/is not a file|can't be opened/);
  });

  it.runIf(posix)("is never that of a device, nor waited for at a pipe, by a link or not", () => {
    expect(() => readPlainFile("/dev/zero", 10)).toThrow("is not a file");
    symlinkSync("/dev/zero", at("endless"));
    expect(() => readPlainFile(at("endless"), 10)).toThrow("is not a file");
    execFileSync("mkfifo", [at("pipe")]);
    expect(() => readPlainFile(at("pipe"), 10)).toThrow("is not a file");
  });

  it.runIf(process.platform === "linux")("ends at the limit where a file claims to be empty", () => {
    expect(readPlainFile("/proc/self/status", 1e6).length).toBeGreaterThan(100);
    expect(() => readPlainFile("/proc/self/status", 100)).toThrow("is over 100 bytes");
  });
});

it("text is read alike in UTF-8 and in both orders of UTF-16 with their mark", () => {
  const little = Buffer.from("\ufeffSüd −3 dB", "utf16le");
  for (const bytes of [
    Buffer.from("Süd −3 dB"),
    Buffer.from("\ufeffSüd −3 dB"),
    little,
    Buffer.from(little).swap16(),
  ])
    expect(textOf(bytes)).toBe("Süd −3 dB");
});
