/** Decibels and fractions in a sentence. */

/** A level: "−2.5 dB". */
export const inDecibels = (x: number, digits = 1): string => {
  const rounded = x.toFixed(digits);
  return `${Number(rounded) < 0 ? "−" : ""}${rounded.replace("-", "")} dB`;
};

/** A change of level, with its sign: "+2.5 dB". */
export const signedDecibels = (x: number, digits = 1): string =>
  `${Number(x.toFixed(digits)) > 0 ? "+" : ""}${inDecibels(x, digits)}`;

/** A fraction of people, frequencies, positions: "87 %". */
export const percent = (fraction: number): string => `${Math.round(100 * fraction)} %`;
