/** What is written down for the mix engineer: prose, with four lines whose numbers can be read. */
import { inDecibels, signedDecibels } from "../../text/decibels";
import type { Setting } from "../exercises/task";
import { type HeardBand, readBands } from "../reading/bands";
import { readChange } from "../reading/change";
import { readHeard } from "../reading/heard";
import { readPlace } from "../reading/place";
import { Ambiguous } from "../reading/quantities";

export interface HandOver {
  readonly setting: Setting;
  /** Where the engineer stands, metres in plan. */
  readonly position: { readonly x: number; readonly y: number };
  /** What is heard there in the low end relative to the audience, dB; positive is more. */
  readonly correction_db: number;
  /** Third octaves that stray there, at most three. */
  readonly bands: readonly HeardBand[];
}

/** Nobody carries more in the head; common practice, no source. */
export const MOST_BANDS = 3;

/** How a hand-over looks, with numbers that mean nothing. */
export const handOverExample = [
  "Subs: -2.5 dB, 1.5 ms later, polarity normal",
  "Place: x 20, y -3",
  "There: 1.5 dB less bass than the audience",
  "Bands: 50 Hz -4 dB, 80 Hz +3 dB",
].join("\n");

/**
 * Reads the numbers of a hand-over.
 *
 * @param text  lines that begin with "Subs:", "Place:", "There:" and "Bands:"; all other lines are for the engineer alone
 * @throws RangeError with everything that is missing, can't be read, or may mean two things
 */
export function readHandOver(text: unknown): HandOver {
  if (typeof text !== "string")
    throw new RangeError(`the hand-over is no text, expected:\n${handOverExample}`);
  const problems: string[] = [];
  const part = <T>(name: string, read: (line: string) => T): T | undefined => {
    const example = handOverExample.split("\n").find((line) => line.startsWith(name));
    try {
      return read(lineOf(text, name));
    } catch (error) {
      if (!(error instanceof Ambiguous)) throw error;
      problems.push(`the line "${name}:" ${error.message}, expected such as "${example}"`);
      return undefined;
    }
  };
  const setting = part("Subs", (line) => within30(readChange(line)));
  const position = part("Place", readPlace);
  const correction_db = part("There", (line) => within30({ offset: readHeard(line) }).offset);
  const bands = part("Bands", (line) => few(readBands(line)));
  if (!setting || !position || correction_db === undefined || !bands)
    throw new RangeError(problems.join("\n"));
  return { setting, position, correction_db, bands };
}

function lineOf(text: string, name: string): string {
  const lines = text.split(/\r?\n/).map((line) => line.trim());
  const found = lines.filter((line) => line.toLowerCase().startsWith(`${name.toLowerCase()}:`));
  if (found.length !== 1) throw new Ambiguous(found.length === 0 ? "is missing" : "is there more than once");
  return found[0].slice(name.length + 1);
}

/** Levels in dB and delays in ms that somebody may mean. */
function within30<T extends { readonly offset: number; readonly delay?: number }>(read: T): T {
  if (Math.abs(read.offset) > 30 || Math.abs(read.delay ?? 0) > 30)
    throw new Ambiguous(read.delay === undefined ? "is beyond 30 dB" : "is beyond 30 dB or 30 ms");
  return read;
}

function few(bands: HandOver["bands"]): HandOver["bands"] {
  if (bands.length > MOST_BANDS)
    throw new Ambiguous(`names ${bands.length} bands, and nobody remembers more than ${MOST_BANDS}`);
  return bands;
}

/** What was read, in one sentence for who wrote it. */
export function handOverRead({ setting, position, correction_db, bands }: HandOver): string {
  const { offset, delay, polarity } = setting;
  const who = delay < 0 ? "mains" : "subs";
  const heard =
    correction_db === 0
      ? "as much bass as the audience"
      : `${Math.abs(correction_db).toFixed(1)} dB ${correction_db < 0 ? "less" : "more"} bass than the audience`;
  const listed = bands.map((b) => `${b.frequency_hz} Hz ${signedDecibels(b.heard_db)}`).join(", ");
  return [
    `I read: subs ${offset > 0 ? "+" : ""}${inDecibels(offset)}, ${who} ${Math.abs(delay).toFixed(1)} ms later, polarity ${polarity}`,
    `place x ${metres(position.x)}, y ${metres(position.y)}`,
    `there ${heard}`,
    `bands ${listed || "none"}.`,
  ].join("; ");
}

const metres = (x: number): string => `${x < 0 ? "−" : ""}${Math.abs(x).toFixed(1)}`;

/** The lines that say the same. */
export function handOverText({ setting, position, correction_db, bands }: HandOver): string {
  const [at, size] = [setting.delay, Math.abs(setting.delay).toFixed(1)];
  const listed = bands.map((b) => `${b.frequency_hz} Hz ${signedDecibels(b.heard_db)}`).join(", ");
  return [
    `Subs: ${signedDecibels(setting.offset)}, ${size} ms ${at < 0 ? "earlier" : "later"}, polarity ${setting.polarity}`,
    `Place: x ${position.x.toFixed(1)}, y ${position.y.toFixed(1)}`,
    `There: ${signedDecibels(correction_db)} bass relative to the audience`,
    `Bands: ${listed || "none"}`,
  ].join("\n");
}
