/** Third-octave bands that stand out at a position, as people write them. */
import { directionsIn } from "./directions";
import { Ambiguous, type Clause, clausesOf, plain, type Quantity } from "./quantities";

export interface HeardBand {
  readonly frequency_hz: number;
  readonly heard_db: number;
}

/**
 * Reads bands with what is heard in each relative to the audience.
 *
 * @param line  such as "50 Hz −4 dB, 3 dB too much at 80 Hz" or "none"
 * @returns the bands in the order in which they stand
 * @throws Ambiguous with a question where something is missing, or two people would read two things
 */
export function readBands(line: string): HeardBand[] {
  const clauses = clausesOf(plain(line).replace(/\blow[ -]end\b/g, "bass")).flatMap((c) =>
    c.quantity ? [c] : [],
  );
  if (clauses.length === 0) {
    if (/\b(?:none|no|nothing|nil|n\/a)\b|^\s*-\s*$/i.test(line)) return [];
    throw new Ambiguous('names no band, and does not say "none"');
  }
  const found: HeardBand[] = [];
  let frequencies: number[] = [];
  let level: number | undefined;
  const close = () => {
    if (level === undefined || frequencies.length === 0) return;
    for (const frequency_hz of frequencies) found.push({ frequency_hz, heard_db: level });
    frequencies = [];
    level = undefined;
  };
  // A band is one frequency, or several, and one level, in either order; the words of both tell the direction.
  const levelFirst = clauses[0].quantity?.unit === "dB";
  clauses.forEach((clause, i) => {
    const { unit, size } = clause.quantity as Quantity;
    const next = clauses[i + 1]?.quantity?.unit;
    // "50 and 63 Hz": the unit stands once.
    const bare = unit === "none" && next === "Hz" && !levelFirst && frequencies.length === 0;
    if (unit === "Hz" || bare) frequencies.push(size);
    else if (unit === "dB" || unit === "none") {
      if (level !== undefined) throw new Ambiguous(`has a level without a band: ${size}`);
      level = amount(clause, neighbour(clauses, i, levelFirst));
    } else throw new Ambiguous(`has ${size}, which is neither Hz nor dB`);
    if (!levelFirst || next !== "Hz" || level === undefined || frequencies.length > 0) close();
  });
  close();
  if (level !== undefined || frequencies.length > 0)
    throw new Ambiguous("has a band without its level in dB");
  return found;
}

/** Words of the frequency that belongs to a level. */
const neighbour = (clauses: readonly Clause[], i: number, levelFirst: boolean): readonly string[] => {
  const other = clauses[levelFirst ? i + 1 : i - 1];
  return other?.quantity?.unit === "Hz" ? other.words : [];
};

const commands = /^(?:add|boost|cut|raise|eq|notch out|turn|take|pull|push|reduce|apply|filter)$/;
const neutral = new Set(
  "at in the band bands third octave around about near is are sounds a an of there you hear with by on hz db and has peak-to-peak third-octave roughly heard bass".split(
    " ",
  ),
);

function amount({ quantity, words }: Clause, more: readonly string[]): number {
  const { size, sign } = quantity as Quantity;
  const all = [...words, ...more];
  const order = all.find((word) => commands.test(word));
  if (order)
    throw new Ambiguous(
      `says what to do ("${order}"): what is heard there, more or less than in the audience?`,
    );
  const own = directionsIn(words, "heard");
  const ways = own.length > 0 ? own : directionsIn(more, "heard");
  if (size === 0) return 0;
  if (new Set(ways).size > 1) throw new Ambiguous(`has words for both directions beside ${size} dB`);
  const [way] = ways;
  if (sign === 0) {
    if (way) return way * size;
    const strange = all.find((word) => !neutral.has(word));
    if (strange !== undefined)
      throw new Ambiguous(`has no direction that I know beside ${size} dB ("${strange}")`);
    return size;
  }
  if (way === undefined || (sign === 1 && way === 1)) return sign * size;
  // A dip of −4 dB is how everybody writes it.
  if (all.some((word) => /^(?:dip|notch|null|hole)$/.test(word)) && sign === -1) return -size;
  throw new Ambiguous(`has a sign and a word for the direction beside ${size} dB: leave one out`);
}
