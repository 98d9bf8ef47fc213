// @ts-check
import { readArguments } from "../setup/arguments.mjs";

const help = `npm run course -- [WORD]

  WORD  only lessons whose name contains this`;

/**
 * @param {readonly string[]} args
 * @returns {{ only?: string } | undefined} nothing where only help was wanted
 */
export function readCourseOptions(args) {
  const read = readArguments(args, {}, help, 1);
  return read && { only: read.words[0] };
}
