/** Files written whole or not at all, with a sentence where the system refuses. */
import { randomUUID } from "node:crypto";
import { mkdirSync, renameSync, rmSync, statSync, writeFileSync } from "node:fs";
import path from "node:path";

/**
 * Writes a file beside where it shall stand, then puts it there: one that was there before stays until the new one is whole.
 *
 * @param file  where; an existing file is replaced
 * @throws RangeError in a sentence when the system refuses, or something other than a file stands there
 */
export function writeWhole(file: string, content: string | Uint8Array): void {
  const there = statSync(file, { throwIfNoEntry: false });
  if (there && !there.isFile())
    throw new RangeError(`${file} can't be written: there is something that is not a file`);
  const draft = path.join(path.dirname(file), `.${randomUUID()}.part`);
  orSentence(file, () => {
    try {
      writeFileSync(draft, content, { flag: "wx" });
      renameSync(draft, file);
    } finally {
      rmSync(draft, { force: true });
    }
  });
}

/**
 * A folder, made where it is not there.
 *
 * @throws RangeError in a sentence when the system refuses
 */
export function makeFolder(folder: string): void {
  orSentence(folder, () => mkdirSync(folder, { recursive: true }));
}

function orSentence(what: string, work: () => void): void {
  try {
    work();
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (!code) throw error;
    throw new RangeError(`${what} can't be written${reasons[code] ?? `: the system says ${code}`}`);
  }
}

const closed =
  ": it is closed to you, or open in another program; close that, change the permissions, or write elsewhere";
const reasons: { readonly [code: string]: string } = {
  ENOSPC: ", for the disk is full: make room, then run this again",
  EDQUOT: ", for your share of the disk is used up: make room, then run this again",
  EROFS: ", for its disk takes no changes: write elsewhere",
  ENOENT: ": there is no such folder",
  ENOTDIR: ": a part of its path is a file, not a folder",
  EEXIST: ": a file of that name stands where a folder is wanted",
  ENAMETOOLONG: ": its name is too long",
  EACCES: closed,
  EPERM: closed,
  EBUSY: closed,
};
