import { readOptions } from "../setup/options.mjs";

export interface MutantsOptions {
  /** What is changed: a folder or a file below lib/. */
  readonly room: string;
  /** The folder of tests that must notice; the room's own where nothing is given. */
  readonly tests?: string;
  readonly share_percent: number;
  readonly seed: number;
  /** Only what survived the last run. */
  readonly again: boolean;
  readonly processes: number;
}

/** What `npm run mutants` takes; nothing where only help was wanted. */
export function readMutantsOptions(args: readonly string[]): MutantsOptions | undefined {
  const read = readOptions(args, {
    call: "npm run mutants",
    words: [
      { name: "ROOM", says: "what is changed, below lib/: acoustics, decision/dips, a file", needed: true },
      { name: "TESTS", says: "the folder or file below tests/ that must notice (usually of the same name)" },
    ],
    options: {
      share: {
        value: "PERCENT",
        says: "tries only so many of the mutants, by chance",
        whole: [1, 100],
        usual: 100,
      },
      seed: { value: "NUMBER", says: "another sample of that size", whole: [0, 2 ** 31 - 1], usual: 1 },
      again: { says: "tries only what survived the last run, once tests have been added" },
      processes: { value: "NUMBER", says: "at the same time (usually 2)", whole: [1, 64], usual: 2 },
    },
  });
  if (!read) return undefined;
  const { share, seed, again, processes } = read.values;
  const [room, tests] = read.words;
  return { room, tests, share_percent: share, seed, again, processes };
}
