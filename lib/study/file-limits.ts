/** How large the files of a show may be: far more than honest ones need, far less than would bring a computer to a halt. */

/** Bytes of a show file or a venue file; one written by a person is far smaller. */
const text = 5e6;
/** Bytes of a trace; half a million frequencies fit. */
const trace = 20e6;
/** Bytes of memory for one take's samples, whatever its file holds: two minutes of 21 channels, or 81 s of 32, at 48 kHz. */
const samples = 1e9;

/** Characters of a venue file. */
const venue = 1e6;

const usual = { text, venue, trace, samples };

/**
 * A limit in bytes.
 *
 * @param kind  of what
 * @returns the usual limit, times the environment variable EVENGROUND_LIMITS where the user has set that
 * @throws RangeError when EVENGROUND_LIMITS is not a number above 0
 */
export function fileLimit(kind: keyof typeof usual): number {
  const given = process.env.EVENGROUND_LIMITS;
  if (given === undefined || given.trim() === "") return usual[kind];
  const factor = Number(given);
  if (!(factor > 0 && factor < 1e6)) {
    throw new RangeError(
      `EVENGROUND_LIMITS is ${JSON.stringify(given)}, expected a number above 0: how many times the usual limits of file sizes`,
    );
  }
  return usual[kind] * factor;
}

/** The remedy that ends a refusal: what to do where the file is right as it is. */
export const raiseLimit = "if that is right, set EVENGROUND_LIMITS=10 for ten times the usual limits";
