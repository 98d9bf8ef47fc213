/**
 * The text of a trace file as a table: comments, column names, numbers, and the line each row stood on.
 *
 * Comma, semicolon or tab between columns; a decimal comma where commas don't separate; any line ending; a byte order mark.
 */
import { MeasurementFileError } from "../file-error";

export interface TraceTable {
  /** `# who: …` lines by their key in lower case. */
  readonly comments: Readonly<Record<string, string>>;
  /** Comment lines without a key. */
  readonly notes: readonly string[];
  /** Column names as in the file. */
  readonly columns: readonly string[];
  /** Line number of the header, from 1. */
  readonly headerLine: number;
  /** Numbers of each wanted column by its place in `columns`; undefined where the column is not wanted. */
  readonly values: readonly (readonly number[] | undefined)[];
  /** Line number of each row, from 1. */
  readonly lines: readonly number[];
}

// A transform of half a million points has 262,145 frequencies; more rows than that are no trace.
const rowLimit = 300_000;
const columnLimit = 64;
const noteLimit = 1000;
const keyLimit = 100;

/**
 * Takes a trace file apart.
 *
 * @param text      the file's text
 * @param fileName  its name, for messages
 * @param wanted    whether a column, by its name in the file, is to be read as numbers; others are skipped unread
 * @throws MeasurementFileError naming line and field
 */
export function readTraceTable(
  text: string,
  fileName: string,
  wanted: (column: string) => boolean,
): TraceTable {
  const fail = (field: string, problem: string, remedy: string): never => {
    throw new MeasurementFileError("trace", fileName, field, problem, remedy);
  };
  const comments: Record<string, string> = {};
  const notes: string[] = [];
  let columns: string[] | undefined;
  let headerLine = 0;
  let separator = ",";
  let values: (number[] | undefined)[] = [];
  const lines: number[] = [];
  const decimal: Decimal = { sign: undefined };

  for (const { line, number } of linesOf(text)) {
    const trimmed = line.trim();
    if (trimmed === "") continue;
    if (line.includes("\0")) {
      fail(`line ${number}`, "holds bytes that are no text", "save the trace as CSV text in UTF-8");
    }
    if (trimmed.startsWith("#")) {
      keepComment(trimmed, comments, notes);
      continue;
    }
    if (!columns) {
      separator = line.includes(";") ? ";" : line.includes("\t") ? "\t" : ",";
      columns = cellsOf(line, separator);
      headerLine = number;
      if (columns.length > columnLimit) {
        fail(`line ${number}`, `has more than ${columnLimit} columns`, "keep only the columns of the trace");
      }
      values = columns.map((column) => (wanted(column) ? [] : undefined));
      continue;
    }
    if (lines.length === rowLimit) {
      fail(`line ${number}`, `is row ${rowLimit + 1}, too many`, "thin the trace out before");
    }
    const cells = cellsOf(line, separator);
    requireCount(cells, columns, separator, number, fail);
    for (let c = 0; c < columns.length; c++) {
      values[c]?.push(numberOf(cells[c] ?? "", decimal, `line ${number}, ${label(columns[c])}`, fail));
    }
    lines.push(number);
  }
  if (!columns || lines.length === 0) {
    const problem = columns ? "are missing, only the header is there" : "are missing, the file is empty";
    return fail("rows", problem, "export the trace again");
  }
  return { comments, notes, columns, headerLine, values, lines };
}

type Fail = (field: string, problem: string, remedy: string) => never;

/** The sign between whole and fraction, once one was seen: a file that uses both is not understood. */
interface Decimal {
  sign: "," | "." | undefined;
}

/** A column's heading for a message. */
function label(column: string): string {
  return show(column).slice(1, -1);
}

/** A value from the file made fit for a message: short, on one line, in quotes. */
export function show(value: string): string {
  const clean = value
    .slice(0, 50)
    .replace(/[^\x20-\x7e\u00a0-\uffff]/g, "?")
    .replace(/"/g, "'");
  return `"${clean.length > 40 ? `${clean.slice(0, 40)}…` : clean}"`;
}

function* linesOf(text: string): Generator<{ line: string; number: number }> {
  const end = /\r\n|\n|\r/g;
  let start = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  for (let number = 1; start < text.length; number++) {
    end.lastIndex = start;
    const found = end.exec(text);
    yield { line: text.slice(start, found ? found.index : text.length), number };
    start = found ? end.lastIndex : text.length;
  }
}

function keepComment(line: string, comments: Record<string, string>, notes: string[]): void {
  const body = line.replace(/^#+/, "").trim();
  const key = commentKey(body);
  if (key !== undefined && !Object.hasOwn(comments, key) && Object.keys(comments).length < keyLimit) {
    comments[key] = body.slice(body.indexOf(":") + 1).trim();
  } else if (body !== "" && notes.length < noteLimit) notes.push(body);
}

/** The key that a comment such as "who: house crew" begins with, if any. */
export function commentKey(body: string): string | undefined {
  const colon = body.indexOf(":");
  const key = body
    .slice(0, Math.min(60, Math.max(0, colon)))
    .trim()
    .toLowerCase();
  return /^[a-z][a-z0-9 _-]{0,39}$/.test(key) ? key : undefined;
}

function cellsOf(line: string, separator: string): string[] {
  const cells: string[] = [];
  let start = 0;
  while (cells.length <= columnLimit) {
    // A cell in quotes may hold the separator, as where a spreadsheet writes "1,5","2,5".
    const quoted = /^\s*"[^"]*"/.exec(line.slice(start, start + 200));
    const found = line.indexOf(separator, start + (quoted ? quoted[0].length : 0));
    const cell = line.slice(start, found < 0 ? line.length : found).trim();
    cells.push(quoted ? cell.replace(/^"|"$/g, "").trim() : cell);
    if (found < 0) break;
    start = found + 1;
  }
  return cells;
}

function requireCount(
  cells: readonly string[],
  columns: readonly string[],
  separator: string,
  number: number,
  fail: Fail,
): void {
  const extra = cells.slice(columns.length).some((cell) => cell !== "");
  if (cells.length >= columns.length && !extra) return;
  const remedy =
    extra && separator === ","
      ? "where commas are decimals, separate the columns by semicolons"
      : "give every column of the header a value";
  fail(`line ${number}`, `has ${cells.length} values, expected ${columns.length} as in the header`, remedy);
}

function numberOf(cell: string, decimal: Decimal, field: string, fail: Fail): number {
  const match = cell.length <= 60 ? /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?$/i.exec(cell) : null;
  if (!match) {
    if (/^-inf(inity)?$/i.test(cell)) return -Infinity;
    if (cell === "") return fail(field, "is empty, expected a number", "fill it in or leave the row out");
    return fail(field, `is ${show(cell)}, expected a number`, "correct it or leave the row out");
  }
  const sign = cell.includes(",") ? "," : cell.includes(".") ? "." : undefined;
  if (sign && decimal.sign && sign !== decimal.sign) {
    const first = decimal.sign === "," ? "decimal commas" : "decimal points";
    fail(field, `is ${show(cell)}, but the file began with ${first}`, "use one of them throughout");
  }
  decimal.sign ??= sign;
  return Number(cell.replace(",", "."));
}
