// @ts-check
/**
 * What commands print without control characters: names in files that others wrote may hold some that move the cursor,
 * change colours or hide what stands before.
 */

/** @param {string} text  any text; line ends and tabs stay */
export const plain = (text) =>
  text.replace(
    /[^\P{C}\n\t]/gu,
    (letter) => `\\u{${/** @type {number} */ (letter.codePointAt(0)).toString(16)}}`,
  );

/** From now on everything that goes through the console is plain. */
export function speakPlain() {
  for (const name of /** @type {const} */ (["log", "error", "warn"])) {
    const print = console[name].bind(console);
    console[name] = (...things) =>
      print(...things.map((thing) => (typeof thing === "string" ? plain(thing) : thing)));
  }
}
