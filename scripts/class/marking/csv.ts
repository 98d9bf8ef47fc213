/** Tables for a spreadsheet. */

/**
 * @param rows  the first one names the columns
 * @returns comma-separated values (RFC 4180). A text that a spreadsheet would take for a formula gets an apostrophe before it
 */
export const csvOf = (rows: readonly (readonly (string | number)[])[]): string =>
  rows.map((row) => row.map(cell).join(",")).join("\n");

function cell(value: string | number): string {
  if (typeof value === "number") return String(value);
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
