// @ts-check
import { parseArgs } from "node:util";
import { SetupError } from "./setup-error.mjs";

/**
 * What stands after a command, told with its help where it makes no sense: a word too many is a mistake, not ignored.
 *
 * @param {readonly string[]} args
 * @param {import("node:util").ParseArgsConfig["options"]} options  beside `--help`
 * @param {string} help
 * @param {number} [most]  words without dashes
 * @returns {{ values: { [name: string]: any }, words: string[] } | undefined} nothing where only help was wanted
 * @throws {SetupError}
 */
export function readArguments(args, options, help, most = 0) {
  /** @type {ReturnType<typeof parseArgs>} */
  let read;
  try {
    const all = { ...options, help: { type: /** @type {const} */ ("boolean"), short: "h" } };
    read = parseArgs({ args: [...args], allowPositionals: true, options: all });
  } catch (error) {
    throw new SetupError(`${/** @type {Error} */ (error).message}\n\n${help}`);
  }
  if (read.values.help) {
    console.log(help);
    return undefined;
  }
  if (read.positionals.length > most) {
    throw new SetupError(`${JSON.stringify(read.positionals[most])} is one word too many.\n\n${help}`);
  }
  return { values: read.values, words: read.positionals };
}
