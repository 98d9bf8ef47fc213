import { readOptions } from "../setup/options.mjs";

export interface HallsOptions {
  readonly count: number;
  readonly seed: number;
  readonly faults: number;
  /** Shows that are there already, instead of new ones. */
  readonly shows?: string;
  /** Where the shows stay, which else are thrown away as soon as they are studied. */
  readonly keep?: string;
  /** Where the rows are kept. */
  readonly json?: string;
}

/** What `npm run halls` takes; nothing where only help was wanted. */
export function readHallsOptions(args: readonly string[]): HallsOptions | undefined {
  const read = readOptions(args, {
    call: "npm run halls",
    options: {
      count: { value: "N", says: "healthy shows (default 200)", whole: [0, 10_000], usual: 200 },
      faults: {
        value: "N",
        says: "shows with each planted fault (default 0)",
        whole: [0, 1000],
        usual: 0,
      },
      seed: {
        value: "S",
        says: "of the halls and all that is in them (default 13)",
        whole: [0, 2 ** 31 - 1],
        usual: 13,
      },
      shows: {
        value: "FOLDER",
        says: "studies the shows in it, each with truth.json, and makes none",
        place: "any",
      },
      keep: { value: "FOLDER", says: "leaves the shows there (about 40 MB each)", place: "any" },
      json: { value: "FILE", says: "keeps a row for each show", place: "any" },
    },
  });
  if (!read) return undefined;
  const { count, seed, faults, shows, keep, json } = read.values;
  return { count, seed, faults, shows, keep, json };
}
