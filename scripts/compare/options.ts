import { readOptions } from "../setup/options.mjs";

export interface CompareCall {
  readonly before: string;
  readonly after: string;
  readonly out: string;
}

const USUAL = "results/compare.html";

/** What `npm run compare` takes; nothing where only help was wanted. */
export function readCompareOptions(args: readonly string[]): CompareCall | undefined {
  const read = readOptions(args, {
    call: "npm run compare",
    words: [
      { name: "SHOW-A", needed: true, says: "a show file or its folder: before" },
      { name: "SHOW-B", needed: true, says: "another one, with positions of the same names: after" },
    ],
    options: {
      out: {
        value: "FILE",
        says: `where the page goes (default ${USUAL})`,
      },
    },
  });
  if (!read) return undefined;
  const [before, after] = read.words;
  return { before, after, out: read.values.out || USUAL };
}
