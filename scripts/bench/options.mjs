// @ts-check
import { readArguments } from "../setup/arguments.mjs";

const help = `npm run bench -- [--json FILE] [--fresh] [--only WORD]

  --json FILE  keeps the rows
  --fresh      adds a fresh clone's first and second start
  --only WORD  benchmarks whose name contains this`;

/**
 * @param {readonly string[]} args
 * @returns {{ json?: string, fresh: boolean, only: string } | undefined} nothing where only help was wanted
 */
export function readBenchOptions(args) {
  const text = /** @type {const} */ ({ type: "string" });
  const read = readArguments(args, { json: text, only: text, fresh: { type: "boolean" } }, help);
  if (!read) return undefined;
  const { json, fresh = false, only = "" } = read.values;
  return { json, fresh, only };
}
