/** The key from which an assignment's rooms are drawn: one for each release, until its feedback is given out. */
import { randomBytes } from "node:crypto";
import { existsSync, readFileSync, rmSync } from "node:fs";
import path from "node:path";
import { makeFolder, writeWhole } from "../../../lib/files/write";

const fileOf = (folder: string, assignment: string) => path.join(folder, "rooms", `${assignment}.key`);

/** The same until the rooms are closed, so that everyone is marked in the same, and can be again. */
export function keyOf(folder: string, assignment: string): Uint8Array {
  const file = fileOf(folder, assignment);
  if (existsSync(file)) return Buffer.from(readFileSync(file, "utf8").trim(), "hex");
  const key = randomBytes(32);
  makeFolder(path.dirname(file));
  writeWhole(file, `${key.toString("hex")}\n`);
  return key;
}

/** From now on others are drawn. */
export const closeRooms = (folder: string, assignment: string): void =>
  rmSync(fileOf(folder, assignment), { force: true });
