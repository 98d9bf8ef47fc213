/**
 * The line around the first of some words, in pieces.
 *
 * @param {readonly string[]} words  none for the text's beginning
 * @param {string} text
 * @returns {{ piece: string, isMatch: boolean }[] | undefined}  undefined where no word is in the text
 */
export function lineWith(words, text) {
  const escaped = words.map((word) => word.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
  const pattern = new RegExp(`(?<![\\p{L}\\p{N}])(?:${escaped.join("|")})(?![\\p{L}\\p{N}])`, "giu");
  const at = words.length ? text.search(pattern) : 0;
  if (at < 0) return undefined;
  const from = at < before ? 0 : text.lastIndexOf(" ", at - before) + 1 || at - before;
  const end = from + long;
  const to = end >= text.length ? text.length : Math.max(text.lastIndexOf(" ", end), at + 40);
  const line = `${from ? "… " : ""}${text.slice(from, to).trim()}${to < text.length ? " …" : ""}`;
  if (!words.length) return [{ piece: line, isMatch: false }];
  const pieces = [];
  let done = 0;
  for (const { 0: match, index } of line.matchAll(pattern)) {
    pieces.push({ piece: line.slice(done, index), isMatch: false }, { piece: match, isMatch: true });
    done = index + match.length;
  }
  return [...pieces, { piece: line.slice(done), isMatch: false }];
}

/** Letters before the word, and in the whole line. */
const before = 60;
const long = 180;
