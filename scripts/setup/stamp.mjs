// @ts-check
/** Stamps: a small file beside a result that says from what it was made, so that nothing is made twice. */
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";

/** @param {...(string | Buffer)} parts */
export function hashOf(...parts) {
  const hash = createHash("sha256");
  for (const part of parts) hash.update(part).update("\0");
  return hash.digest("hex");
}

/** @param {string} file */
export const hashOfFile = (file) => hashOf(readFileSync(file));

/**
 * @param {string} file  the stamp
 * @param {string} hash  what it should say
 */
export const isStamped = (file, hash) => existsSync(file) && readFileSync(file, "utf8").trim() === hash;

/**
 * @param {string} file
 * @param {string} hash
 */
export function writeStamp(file, hash) {
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(file, `${hash}\n`);
}
