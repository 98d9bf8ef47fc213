import { readOptions } from "../setup/options.mjs";

export interface BenchOptions {
  /** Where the rows are kept. */
  readonly json?: string;
  readonly fresh: boolean;
  readonly only: string;
}

/** What `npm run bench` takes; nothing where only help was wanted. */
export function readBenchOptions(args: readonly string[]): BenchOptions | undefined {
  const read = readOptions(args, {
    call: "npm run bench",
    options: {
      json: { value: "FILE", says: "keeps the rows", place: "any" },
      fresh: { says: "adds a fresh clone's first and second start" },
      only: { value: "WORD", says: "benchmarks whose name contains this", usual: "" },
    },
  });
  return read && { json: read.values.json, fresh: read.values.fresh, only: read.values.only };
}
