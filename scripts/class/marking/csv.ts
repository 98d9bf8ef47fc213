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

/**
 * Rows of a table that a spreadsheet wrote: fields with commas between, or semicolons, or tabs, as its first line has them.
 *
 * @returns a list of fields for each line that is not empty
 */
export function rowsOf(text: string): string[][] {
  const content = text.replace(/^\uFEFF/, "").replace(/\r\n?/g, "\n");
  const head = content.slice(0, content.indexOf("\n") + 1 || undefined);
  const between = [";", "\t"].find((mark) => head.includes(mark)) ?? ",";
  const rows: string[][] = [[]];
  let field = "";
  let quoted = false;
  for (let i = 0; i < content.length; i++) {
    const letter = content[i];
    if (quoted) {
      if (letter !== '"') field += letter;
      else if (content[i + 1] === '"') {
        field += '"';
        i++;
      } else quoted = false;
    } else if (letter === '"' && field === "") quoted = true;
    else if (letter === between || letter === "\n") {
      rows[rows.length - 1].push(field);
      field = "";
      if (letter === "\n") rows.push([]);
    } else field += letter;
  }
  rows[rows.length - 1].push(field);
  return rows.filter((row) => row.some((each) => each.trim() !== ""));
}
