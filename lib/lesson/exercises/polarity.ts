/** Polarity as people write it: every usual word is understood, and so are "as it is" and "turned", which this course once used. */

/** Relative to what was found: the same, or the opposite sign. */
export type Polarity = "normal" | "inverted";

const inverted = /\b(?:inverted|inverse|reversed?|flipped|negative|opposite|turned)\b|[-−]\s*1\b/i;
const normal =
  /\b(?:normal|positive|not (?:inverted|reversed|flipped|turned)|as it is|unchanged)\b|\+\s*1\b|^\s*1\s*$|\bpolarity:?\s+1\b/i;

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
  const isNormal = normal.test(written);
  const isInverted = inverted.test(written.replace(/\bnot (?:inverted|reversed|flipped|turned)\b/gi, ""));
  if (isNormal === isInverted) return undefined;
  return isNormal ? "normal" : "inverted";
}
