/** What is written down for the mix engineer: prose, with four lines whose numbers can be read. */
import { signedDecibels } from "../../text/decibels";
import { readPolarity } from "../exercises/polarity";
import type { Setting } from "../exercises/task";

export interface HandOver {
  readonly setting: Setting;
  /** Where the engineer stands, metres in plan. */
  readonly position: { readonly x: number; readonly y: number };
  /** What is heard there in the low end relative to the audience, dB; positive is more. */
  readonly correction_db: number;
  /** Third octaves that stray there, at most three. */
  readonly bands: readonly { readonly frequency_hz: number; readonly heard_db: number }[];
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
 * @throws RangeError with everything that is missing or can't be read
 */
export function readHandOver(text: unknown): HandOver {
  if (typeof text !== "string")
    throw new RangeError(`the hand-over is no text, expected:\n${handOverExample}`);
  const lines = text.replaceAll(/[−–]/g, "-").split(/\r?\n/);
  const problems: string[] = [];
  const part = <T>(name: string, read: (words: string) => T | string): T | undefined => {
    const found = lines.filter((line) => line.trim().toLowerCase().startsWith(`${name.toLowerCase()}:`));
    const example = handOverExample.split("\n").find((line) => line.startsWith(name));
    const value = found.length === 1 ? read(found[0].slice(found[0].indexOf(":") + 1).trim()) : undefined;
    if (value !== undefined && typeof value !== "string") return value;
    const what = value ?? (found.length === 0 ? "is missing" : "is there more than once");
    problems.push(`the line "${name}:" ${what}, expected such as "${example}"`);
    return undefined;
  };
  const setting = part("Subs", readSubs);
  const position = part("Place", readPosition);
  const there = part("There", readThere);
  const bands = part("Bands", readBands);
  if (!setting || !position || !there || !bands) throw new RangeError(problems.join("\n"));
  return { setting, position, correction_db: there.db, bands: bands.list };
}

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

const NUMBER = "([+-]?\\d+(?:\\.\\d+)?)";

function readSubs(words: string): Setting | string {
  const offset = withWords(words, `${NUMBER}\\s*dB`, /(down|softer|quieter|lower)/i, /(up|louder|higher)/i);
  const delay = withWords(words, `${NUMBER}\\s*ms`, /earlier/i, /later/i);
  const polarity = readPolarity(words.replaceAll(/[+-]?\d+(?:\.\d+)?\s*(?:dB|ms)/gi, ""));
  if (typeof offset === "string") return `has no level (${offset})`;
  if (typeof delay === "string") return `has no delay (${delay})`;
  if (!polarity) return 'does not say whether the polarity is "normal" or "inverted"';
  if (Math.abs(offset) > 30 || Math.abs(delay) > 30) return "is beyond 30 dB or 30 ms";
  return { offset, delay, polarity };
}

function readPosition(words: string): HandOver["position"] | string {
  const found = new RegExp(`x\\s*${NUMBER}\\D*?y\\s*${NUMBER}`, "i").exec(words);
  return found ? { x: Number(found[1]), y: Number(found[2]) } : "has no x and y";
}

function readThere(words: string): { readonly db: number } | string {
  const db = withWords(words, `${NUMBER}\\s*dB`, /\bless\b/i, /\bmore\b/i);
  if (typeof db === "string") return `has no number (${db})`;
  return Math.abs(db) <= 30 ? { db } : "is beyond 30 dB";
}

function readBands(words: string): { readonly list: HandOver["bands"] } | string {
  const list = [...words.matchAll(new RegExp(`(\\d+(?:\\.\\d+)?)\\s*Hz\\s*:?\\s*${NUMBER}\\s*dB`, "gi"))].map(
    ([, f, db]) => ({ frequency_hz: Number(f), heard_db: Number(db) }),
  );
  if (list.length === 0 && !/none/i.test(words)) return 'names no band, and does not say "none"';
  if (list.length > MOST_BANDS)
    return `names ${list.length} bands, and nobody remembers more than ${MOST_BANDS}`;
  return { list };
}

/** A number with its unit, whose direction may stand in a sign or in a word, not in both. */
function withWords(words: string, pattern: string, negative: RegExp, positive: RegExp): number | string {
  const found = new RegExp(pattern, "i").exec(words);
  if (!found) return "expected a number with its unit";
  const value = Number(found[1]);
  if (negative.test(words))
    return value < 0 ? "a minus and a word that says the same: leave one out" : -value;
  return positive.test(words) && value < 0 ? "a minus and a word that says the opposite" : value;
}
