import { readOptions } from "../setup/options.mjs";
import { limitsExample } from "./limits-file";

export interface LayoutsCall {
  readonly venue: string;
  readonly limits?: string;
  readonly candidates: number;
  readonly seats: number;
  readonly seed: number;
  readonly out?: string;
}

/** What `npm run layouts` takes; nothing where only help was wanted. */
export function readLayoutsOptions(args: readonly string[]): LayoutsCall | undefined {
  const number = (says: string, whole: readonly [number, number], usual: number) => ({
    value: "N",
    says: `${says} (default ${usual})`,
    whole,
    usual,
  });
  const read = readOptions(args, {
    call: "npm run layouts",
    words: [
      { name: "VENUE", needed: true, says: "a venue file (try data/venues/harbour-theatre.json)" },
      {
        name: "LIMITS",
        says: "a JSON file that says what may be put up and where; left out, the subs may stand\nanywhere across the room where the venue's own stand now, left and right alike",
      },
    ],
    options: {
      candidates: number("how many layouts to try", [1, 1e6], 10_000),
      seats: number("about how many seats to judge them at", [10, 5000], 500),
      seed: number("the same seed finds the same layouts", [0, 2 ** 31 - 1], 1),
      out: {
        value: "FILE",
        says: "where the result goes (default results/NAME OF THE VENUE FILE-layouts.json)",
      },
    },
    more: `Ctrl-C ends the search and keeps the best so far.\n\nA whole file of limits:\n${limitsExample}`,
  });
  if (!read) return undefined;
  const { candidates, seats, seed, out } = read.values;
  return { venue: read.words[0], limits: read.words[1], candidates, seats, seed, out };
}
