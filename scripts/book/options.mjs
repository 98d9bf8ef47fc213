// @ts-check
import { readArguments } from "../setup/arguments.mjs";

const help = `npm run book -- [--as-it-ran]

  --as-it-ran  takes the lessons as npm run course left them, instead of running them`;

/**
 * @param {readonly string[]} args
 * @returns {{ asItRan: boolean } | undefined} nothing where only help was wanted
 */
export function readBookOptions(args) {
  const read = readArguments(args, { "as-it-ran": { type: "boolean" } }, help);
  return read && { asItRan: read.values["as-it-ran"] === true };
}
