/** Twenty folders of different make: what is in them is proposed right, or seen to be wrong. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { propose } from "../../../scripts/new-show/propose";
import { filesIn } from "../../../scripts/new-show/tracks";
import { leave, type Make, makes } from "./folders";

const root = mkdtempSync(path.join(tmpdir(), "evenground-folders-"));
afterAll(() => rmSync(root, { recursive: true, force: true }));

/** What of a folder was proposed wrong. */
function wrongOf(make: Make): string[] {
  const folder = path.join(root, make.says);
  const truth = leave(folder, make);
  const { takes } = propose(filesIn(folder).files, truth.venue);
  const wrong: string[] = [];
  for (const { holds, files } of truth.takes) {
    const take = takes.find(({ tracks }) => files.every((file) => tracks.some((t) => t.file === file)));
    if (!take) {
      wrong.push(`${files[0]}: not one take`);
      continue;
    }
    if (take.holds !== holds) wrong.push(`${files[0]}: ${take.holds} (${take.because}), truly ${holds}`);
    if (!["mains", "subs", "both"].includes(holds)) continue;
    const near = [...truth.use].filter(([key]) => files.some((file) => key.startsWith(`${file} `)));
    for (const { file, channel, use, position } of take.tracks) {
      const is = truth.use.get(`${file} ${channel}`);
      const said = use === "reference" ? "reference" : position;
      // Without a drawing positions are numbered from the front; that they are different is all that can be asked here.
      const right =
        truth.venue || is === "reference" ? said === is : use === "microphone" && position !== undefined;
      if (!right) wrong.push(`${file} ${channel}: ${said}, truly ${is}`);
    }
    if (near.length !== take.tracks.length)
      wrong.push(`${files[0]}: ${take.tracks.length} tracks, truly ${near.length}`);
  }
  return wrong;
}

describe("what lies in a folder", () => {
  const found = makes.map((make) => ({ says: make.says, wrong: wrongOf(make) }));

  it("is proposed right in 18 of 20 or more", () => {
    const bad = found.filter(({ wrong }) => wrong.length);
    expect(bad.length, JSON.stringify(bad, null, 1)).toBeLessThanOrEqual(2);
  });
});
