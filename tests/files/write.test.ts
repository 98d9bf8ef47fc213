import {
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { makeFolder, writeWhole } from "../../lib/files/write";

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), "files "));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => path.join(folder, name);

describe("a file that is written", () => {
  it("takes the place of what was there, and leaves nothing beside it", () => {
    writeFileSync(at("a.csv"), "old");
    writeWhole(at("a.csv"), "new");
    expect(readFileSync(at("a.csv"), "utf8")).toBe("new");
    expect(readdirSync(folder)).toEqual(["a.csv"]);
  });

  it.runIf(process.platform === "linux")("is as it was where the disk is full", () => {
    // A device that is always full stands for the disk; it can't be renamed away, so the link to it is written through.
    writeFileSync(at("a.csv"), "old");
    expect(() => writeWhole("/dev/full", "new")).toThrow("not a file");
    expect(() => writeWhole(path.join("/proc", "a.csv"), "new")).toThrow(/^\/proc\/a\.csv can't be written/);
    expect(readFileSync(at("a.csv"), "utf8")).toBe("old");
    expect(statSync("/dev/full").isCharacterDevice()).toBe(true);
  });

  it("says so where it can't be", () => {
    expect(() => writeWhole(path.join(at("no folder"), "a.csv"), "")).toThrow("there is no such folder");
    expect(() => writeWhole(folder, "")).toThrow("something that is not a file");
    writeFileSync(at("a"), "");
    expect(() => makeFolder(at("a"))).toThrow("a file of that name stands where a folder is wanted");
    expect(() => makeFolder(path.join(at("a"), "b"))).toThrow("a part of its path is a file");
  });

  it.runIf(process.platform !== "win32")("does not go where a link leads: the link is replaced", () => {
    writeFileSync(at("other"), "mine");
    symlinkSync(at("other"), at("link"));
    writeWhole(at("link"), "new");
    expect(readFileSync(at("other"), "utf8")).toBe("mine");
    expect(readFileSync(at("link"), "utf8")).toBe("new");
  });
});
