import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { freeName, moveAside, putAside, takesBefore } from "../../../scripts/record/folder";

let above: string;
let folder: string;
beforeEach(() => {
  above = mkdtempSync(path.join(tmpdir(), "folder test "));
  folder = path.join(above, "show");
  mkdirSync(folder);
});
afterEach(() => rmSync(above, { recursive: true, force: true }));
const lay = (...names: string[]) => {
  for (const name of names) writeFileSync(path.join(folder, name), "");
};

describe("the folder of a recording", () => {
  it("takes no take of before from outside itself, whatever a file says", () => {
    writeFileSync(path.join(above, "mains.wav"), "");
    lay("subs.wav", "takes.json");
    const takes = ["../mains.wav", "../subs.wav", "gone.wav"].map((file) => ({
      id: file,
      kind: "mains",
      file,
    }));
    writeFileSync(path.join(folder, "takes.json"), JSON.stringify({ takes }));
    expect(takesBefore(folder).map(({ file }) => file)).toEqual(["subs.wav"]);
  });

  it("writes over no file, neither one that is whole nor one that is being written", () => {
    expect(freeName(folder, "mains")).toBe("mains");
    lay("mains.wav", "mains-take-2.wav.part");
    expect(freeName(folder, "mains")).toBe("mains-take-3");
  });

  it("puts aside what a broken recording left, and says where it can be read", () => {
    lay("mains.wav.part", "subs.wav");
    expect(putAside(folder)).toEqual([expect.stringContaining(path.join("refused", "mains-1.wav"))]);
    expect(existsSync(path.join(folder, "refused", "mains-1.wav"))).toBe(true);
    lay("mains.wav");
    expect(moveAside(folder, path.join(folder, "mains.wav"))).toBe(path.join("refused", "mains-2.wav"));
    expect(existsSync(path.join(folder, "subs.wav"))).toBe(true);
  });
});
