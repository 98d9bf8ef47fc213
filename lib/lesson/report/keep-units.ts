/** Numbers stay on the line of their units. */

const markup = /(<script\b[\s\S]*?<\/script>|<[^>]*>)/;
const beforeUnit = /(?<=\d) (?=(?:%|dB|k?Hz|ms|m|°C)(?![\w]))/g;

/**
 * HTML whose text breaks no line between a number and its unit: "58 %" on a line's end is read as 58.
 *
 * Tags and scripts stay as they are.
 */
export const keepUnits = (html: string): string =>
  html
    .split(markup)
    .map((piece, i) => (i % 2 ? piece : piece.replace(beforeUnit, "\u00a0")))
    .join("");
