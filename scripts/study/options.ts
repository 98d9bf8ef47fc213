/** The command line of `npm run study`. */
import { parseArgs } from "node:util";

export const help = `npm run study -- SHOW [--out FOLDER] [--seats N] [--pdf]

  SHOW           a show file, or a folder with show.json in it
                 (try data/shows/harbour-theatre)
  --out FOLDER   where the result and the report go (default results/NAME OF THE SHOW'S FOLDER)
  --seats N      about how many seats the model computes (default 2000)
  --pdf          prints the reports as PDF too; needs a browser of the Chromium family
                 (EVENGROUND_BROWSER names one that is not found)`;

/**
 * @param args  what stands after the command
 * @returns the call, or the sentence that says what is wrong with it; the help where that was asked for
 */
export function readCall(
  args: readonly string[],
): { show: string; out?: string; seats: number; pdf: boolean } | string {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      allowPositionals: true,
      options: {
        out: { type: "string" },
        seats: { type: "string" },
        pdf: { type: "boolean" },
        help: { type: "boolean", short: "h" },
      },
    });
    if (values.help) return help;
    if (positionals.length !== 1) return `expected one show file, got ${positionals.length}\n\n${help}`;
    const seats = Number(values.seats ?? 2000);
    if (!(Number.isInteger(seats) && seats >= 10 && seats <= 20000)) {
      return `--seats is ${values.seats}, expected a whole number from 10 to 20000`;
    }
    return {
      show: positionals[0],
      seats,
      pdf: values.pdf === true,
      ...(values.out !== undefined && { out: values.out }),
    };
  } catch (error) {
    return `${(error as Error).message}\n\n${help}`;
  }
}
