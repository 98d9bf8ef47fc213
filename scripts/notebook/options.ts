import { readOptions } from "../setup/options.mjs";

/** What `npm run course` takes; nothing where only help was wanted. */
export function readCourseOptions(args: readonly string[]): { readonly only?: string } | undefined {
  const read = readOptions(args, {
    call: "npm run course",
    words: [{ name: "WORD", says: "only lessons whose name contains this" }],
  });
  return read && { only: read.words[0] };
}
