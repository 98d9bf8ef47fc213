/** A file that a command writes anew as it learns more, as long as nobody else has changed it. */
import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { writeWhole } from "../../lib/files/write";
import { hashOf } from "../setup/stamp.mjs";

const memory = ".evenground.json";

/**
 * Writes a file into a folder; one that was edited by hand since stays as it is, and the new one comes beside it.
 *
 * @returns the name under which it was written
 */
export function writeOwnFile(folder: string, name: string, content: string): string {
  const file = path.join(folder, name);
  const written = remembered(folder);
  const isOurs = !existsSync(file) || hashOf(readFileSync(file)) === written[name];
  const { name: stem, ext } = path.parse(name);
  const used = isOurs ? name : `${stem} (new)${ext}`;
  writeWhole(path.join(folder, used), content);
  if (isOurs)
    writeWhole(
      path.join(folder, memory),
      `${JSON.stringify({ ...written, [name]: hashOf(Buffer.from(content)) })}\n`,
    );
  return used;
}

function remembered(folder: string): { readonly [name: string]: string } {
  try {
    return JSON.parse(readFileSync(path.join(folder, memory), "utf8"));
  } catch {
    return {};
  }
}
