/** The command line of `npm run layouts`. */
import { parseArgs } from "node:util";
import { limitsExample } from "./limits-file";

export const help = `npm run layouts -- VENUE [LIMITS] [--candidates N] [--seats N] [--seed N] [--out FILE]

  VENUE           a venue file (try data/venues/harbour-theatre.json)
  LIMITS          a JSON file that says what may be put up and where; left out, the subs may stand
                  anywhere across the room where the venue's own stand now, left and right alike
  --candidates N  how many layouts to try (default 10000)
  --seats N       about how many seats to judge them at (default 500)
  --seed N        the same seed finds the same layouts (default 1)
  --out FILE      where the result goes (default results/NAME OF THE VENUE FILE-layouts.json)

Ctrl-C ends the search and keeps the best so far.

A whole file of limits:
${limitsExample}`;

export interface Call {
  readonly venue: string;
  readonly limits?: string;
  readonly candidates: number;
  readonly seats: number;
  readonly seed: number;
  readonly out?: string;
}

/**
 * @param args  what stands after the command
 * @returns the call, or the sentence that says what is wrong with it; the help where that was asked for
 */
export function readCall(args: readonly string[]): Call | string {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      allowPositionals: true,
      options: {
        candidates: { type: "string", default: "10000" },
        seats: { type: "string", default: "500" },
        seed: { type: "string", default: "1" },
        out: { type: "string" },
        help: { type: "boolean", short: "h" },
      },
    });
    if (values.help) return help;
    if (positionals.length < 1 || positionals.length > 2) {
      return `expected a venue file and perhaps one of limits, got ${positionals.length} files\n\n${help}`;
    }
    const whole = (name: "candidates" | "seats" | "seed", from: number, to: number): number => {
      const value = Number(values[name]);
      if (!(values[name].trim() && Number.isInteger(value) && value >= from && value <= to)) {
        throw new Error(`--${name} is ${values[name]}, expected a whole number from ${from} to ${to}`);
      }
      return value;
    };
    return {
      venue: positionals[0],
      ...(positionals[1] !== undefined && { limits: positionals[1] }),
      candidates: whole("candidates", 1, 1e6),
      seats: whole("seats", 10, 5000),
      seed: whole("seed", 0, 2 ** 31 - 1),
      ...(values.out !== undefined && { out: values.out }),
    };
  } catch (error) {
    return `${(error as Error).message}\n\n${help}`;
  }
}
