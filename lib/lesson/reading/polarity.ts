/** Polarity as people write it: every usual word is understood, and so are "as it is" and "turned", which this course once used. */

/** Relative to what was found: the same, or the opposite sign. */
export type Polarity = "normal" | "inverted";

const turning =
  "invert|inverted|inverting|inverse|inversed|inversion|inv|reverse|reversed|reversing|reversal|rev|flip|flipped|flipping|swap|swapped|switched|toggled|opposite|negative|neg|turned";
const inverted = new RegExp(`\\b(?:${turning})\\b|-\\s*1\\b(?!\\s*[.\\d]|\\s*(?:db|ms|m|hz)\\b)`);
const notInverted = new RegExp(
  `\\b(?:not|no|n't|don't|dont|never|without(?: an?)?|isn't|aren't|non|un)[ -]?(?:(?:be|been|to|any|the|polarity|phase|need|a) ?){0,3}[ -]?(?:${turning}|changed?|touched|touch)\\b`,
  "g",
);
const normal =
  /\b(?:normal|norm|nrm|positive|pos|unchanged|uninverted|unflipped|untouched|as it is|as it was|as is|as found|as (?:i|you|we) found it)\b|\+\s*1\b(?!\s*[.\d]|\s*(?:db|ms|m|hz)\b)|^\s*1\s*$/;
const leftAlone = /\b(?:same|keep|kept|leave|left alone|stays?|ok|okay|fine|remains?|no change)\b/;
const context = /\b(?:polarity|pol|phase)\b|ø/;
const doubt = /\b(?:maybe|perhaps|possibly|probably|might|either|or|guess|unsure)\b|\?/;

/**
 * The polarity that a word or a line states.
 *
 * @param written  a word such as "inverted" or "flipped", a line that holds one, 1 or −1
 * @returns undefined where neither is stated, or both
 */
export function readPolarity(written: unknown): Polarity | undefined {
  if (written === 1) return "normal";
  if (written === -1) return "inverted";
  if (typeof written !== "string") return undefined;
  const text = written.toLowerCase().replace(/[−–]/g, "-").replace(/’/g, "'");
  const about = text
    .replace(/\b(polarity|pol|phase)\b\.?\s*[:=]?\s*\+?1?(?=\s*(?:$|[,;.)\n]))(?<=[+1])/g, "$1 normal ")
    .replace(/\b(polarity|pol|phase)\b\.?\s*[:=]?\s*-(?=\s*(?:$|[,;.)\n]))/g, "$1 inverted ")
    .replace(/\b180\s*(?:°|deg(?:rees?)?\b)?/g, " inverted ")
    .replace(/\b0\s*(?:°|deg(?:rees?)?\b)/g, " normal ")
    .replace(/\bout of (?:phase|polarity)\b/g, "inverted");
  const parts = about.split(/[,;.\n]/);
  const stated = parts.filter((part) => context.test(part) || inverted.test(part) || normal.test(part));
  if (stated.some((part) => doubt.test(part) || /\b(?:was|were)\b/.test(part))) return undefined;
  const all = stated.join(" , ");
  const rest = all.replace(notInverted, " ");
  const isInverted = inverted.test(rest);
  const isNormal =
    normal.test(rest) ||
    rest !== all ||
    stated.some((p) => context.test(p) && leftAlone.test(p) && !inverted.test(p));
  if (isNormal === isInverted) return undefined;
  return isNormal ? "normal" : "inverted";
}
