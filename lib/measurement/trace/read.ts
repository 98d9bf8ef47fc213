/**
 * Trace files in: a response as CSV text, tolerant of how it was written down, strict about what it says.
 *
 * Columns: frequency_hz, magnitude_db, and where known phase_deg, coherence, averages, diffuse. `data/README.md`
 * documents the format.
 */
import { basename } from "node:path";
import type { Response } from "../../acoustics/response";
import { readPlainFile, textOf, UnreadableFile } from "../../files/read";
import { MeasurementFileError } from "../file-error";
import { type ColumnName, columnLimits, columnOf } from "./columns";
import { fromPolar } from "./polar";
import { readTraceTable, show, type TraceTable } from "./table";

/** A response from a trace file, with what the file says about it. */
export interface Trace extends Response {
  /** Name of the file. */
  readonly file: string;
  /** Comments by their key in lower case: who measured what, where and when. */
  readonly comments: Readonly<Record<string, string>>;
  /** Comments without a key, in order. */
  readonly notes: readonly string[];
  /** What was corrected or left out in reading; one sentence each, naming file and line. */
  readonly warnings: readonly string[];
}

/**
 * A trace from the text of a CSV file: one response over frequency.
 *
 * Columns are frequency_hz and magnitude_db, and where known phase_deg, coherence, averages and diffuse, in any order;
 * comma, semicolon or tab between them; lines that begin with # are comments. Rows out of order are sorted, and a row that
 * repeats another word for word is dropped, both with a warning; two rows of one frequency with different values are
 * refused, because nobody can say which is right.
 *
 * @param text  the file's text
 * @param fileName  its name, for messages
 * @returns the response, `magnitudeOnly` where the file has no phase, with comments and warnings; frequencies in hertz,
 *   ascending
 * @throws MeasurementFileError naming file, line, field and remedy
 * @source CSV: RFC 4180, with other separators and comments besides; the columns: own way, no outside source; check:
 *   tests/measurement/trace/trace.test.ts
 * @example
 * const text = "frequency_hz,magnitude_db,phase_deg\n63,6.0206,0\n125,0,90";
 * const { re, im } = read.traceText(text, "row-a.csv");
 * [re[0], im[1]] // [2.00, 1.00]
 */
export function readTrace(text: string, fileName: string): Trace {
  const table = readTraceTable(text, fileName, (column) => columnOf(column) !== undefined);
  const fail: Fail = (field, problem, remedy) => {
    throw new MeasurementFileError("trace", fileName, field, problem, remedy);
  };
  const named = namedColumns(table, fail);
  const warnings: string[] = [];
  const warn = (field: string, sentence: string) =>
    warnings.push(`trace "${fileName}": ${field} ${sentence}`);
  for (const column of table.columns) {
    if (!columnOf(column)) warn(`column ${show(column)}`, "is not one of a trace's and was left out");
  }
  checkValues(table, named, fail);
  const rows = orderedRows(table, named, fail, warn);
  const pick = (name: ColumnName) => {
    const values = named.get(name);
    return values && Float64Array.from(rows, (row) => values[row]);
  };
  if (!named.has("phase_deg")) warn("phase_deg", "is missing, so only its levels can be used");
  const coherence = pick("coherence");
  const averages = pick("averages");
  const diffuse = pick("diffuse");
  return {
    frequency: pick("frequency_hz")!,
    ...complexValues(rows, table, named, fail),
    ...(coherence && { coherence }),
    ...(averages && { averages }),
    ...(diffuse && { diffuse }),
    ...(!named.has("phase_deg") && { magnitudeOnly: true }),
    file: fileName,
    comments: table.comments,
    notes: table.notes,
    warnings,
  };
}

/**
 * A trace from a CSV file: one response over frequency, in UTF-8, or in UTF-16 with its byte order mark, of at most 50 MB.
 *
 * @param path  where it is; a relative one starts from where the notebook lies
 * @returns the response, with comments and warnings, as `read.traceText` gives it
 * @throws MeasurementFileError as `read.traceText`, or when the file can't be opened or is too large
 * @source CSV: RFC 4180, with other separators and comments besides; the columns: own way, no outside source; check:
 *   tests/measurement/trace/trace.test.ts
 * @example
 * const frequency = Float64Array.of(63, 125);
 * write.trace("row-a.csv", { frequency, re: Float64Array.of(2, 1), im: Float64Array.of(0, -1) });
 * read.trace("row-a.csv").re // [2, 1]
 */
export function readTraceFile(path: string): Trace {
  return traceAt(path, basename(path), { most: 50e6, remedy: "give a trace, not a recording" });
}

/**
 * Reads a trace file within a limit of its size.
 *
 * @param path  where it is
 * @param name  of the file, for messages
 * @param limit  bytes that it may have, and what to do about a larger one
 * @throws MeasurementFileError as `readTrace`, or when the file can't be opened
 */
export function traceAt(
  path: string,
  name: string,
  limit: { readonly most: number; readonly remedy: string },
): Trace {
  let bytes: Uint8Array;
  try {
    bytes = readPlainFile(path, limit.most);
  } catch (error) {
    if (!(error instanceof UnreadableFile)) throw error;
    const [field, remedy] =
      error.reason === "too large" ? ["size", limit.remedy] : ["path", `check the name and folder: ${path}`];
    throw new MeasurementFileError("trace", name, field, error.message, remedy);
  }
  return readTrace(textOf(bytes), name);
}

type Fail = (field: string, problem: string, remedy: string) => never;

type NamedColumns = ReadonlyMap<ColumnName, readonly number[]>;

function namedColumns(table: TraceTable, fail: Fail): NamedColumns {
  const named = new Map<ColumnName, readonly number[]>();
  table.columns.forEach((column, c) => {
    const name = columnOf(column);
    if (!name) return;
    if (named.has(name)) fail(`line ${table.headerLine}`, `names ${name} twice`, "keep one of the columns");
    named.set(name, table.values[c]!);
  });
  for (const name of ["frequency_hz", "magnitude_db"] as const) {
    if (!named.has(name)) {
      fail(
        `line ${table.headerLine}`,
        `has no column ${name}, it reads ${show(table.columns.join(", "))}`,
        "begin the file with the header frequency_hz,magnitude_db,phase_deg,coherence",
      );
    }
  }
  if (named.has("imaginary") !== (named.has("real") && named.has("phase_deg"))) {
    fail(
      `line ${table.headerLine}`,
      "has real, imaginary and phase_deg only in part",
      "keep all three, or delete real and imaginary",
    );
  }
  return named;
}

function checkValues(table: TraceTable, named: NamedColumns, fail: Fail): void {
  for (const [name, values] of named) {
    const [lowest, highest, expected] = columnLimits[name];
    const bad = values.findIndex(
      (x) => !(x >= lowest && x <= highest) && !(name === "magnitude_db" && x === -Infinity),
    );
    if (bad >= 0) {
      fail(
        `line ${table.lines[bad]}, ${name}`,
        `is ${values[bad]}, expected ${expected}`,
        "correct the value",
      );
    }
  }
}

/** Row numbers by ascending frequency, without 0 Hz and without repetitions. */
function orderedRows(
  table: TraceTable,
  named: NamedColumns,
  fail: Fail,
  warn: (field: string, sentence: string) => void,
): number[] {
  const frequency = named.get("frequency_hz")!;
  const rows = frequency.map((_, row) => row).filter((row) => frequency[row] > 0);
  if (rows.length === 0) fail("frequency_hz", "is 0 in every row", "export the trace again");
  if (rows.length < frequency.length) {
    warn(`line ${table.lines[frequency.indexOf(0)]}`, "is at 0 Hz and was left out");
  }
  const unsorted = rows.findIndex((row, i) => i > 0 && frequency[row] < frequency[rows[i - 1]]);
  if (unsorted >= 0) {
    warn(`line ${table.lines[rows[unsorted]]}`, "steps back in frequency, so the rows were sorted");
    rows.sort((a, b) => frequency[a] - frequency[b] || a - b);
  }
  const kept = rows.filter((row, i) => {
    if (i === 0 || frequency[row] !== frequency[rows[i - 1]]) return true;
    for (const [name, values] of named) {
      if (values[row] !== values[rows[i - 1]]) {
        fail(
          `line ${table.lines[row]}, ${name}`,
          `differs from line ${table.lines[rows[i - 1]]} though both stand at ${frequency[row]} Hz`,
          "delete the wrong one",
        );
      }
    }
    return false;
  });
  if (kept.length < rows.length) {
    warn("rows", `that repeat another were dropped, ${rows.length - kept.length} of them`);
  }
  return kept;
}

function complexValues(
  rows: readonly number[],
  table: TraceTable,
  named: NamedColumns,
  fail: Fail,
): { re: Float64Array; im: Float64Array } {
  const magnitude = named.get("magnitude_db")!;
  const phase = named.get("phase_deg");
  const real = named.get("real");
  const imaginary = named.get("imaginary");
  const re = new Float64Array(rows.length);
  const im = new Float64Array(rows.length);
  rows.forEach((row, i) => {
    const polar = fromPolar(magnitude[row], phase ? phase[row] : 0);
    re[i] = real ? real[row] : polar.re;
    im[i] = imaginary ? imaginary[row] : polar.im;
    // The exact columns repeat what level and phase say; where someone edited one of them, neither can be trusted.
    if (Math.hypot(re[i] - polar.re, im[i] - polar.im) > 1e-9 * Math.hypot(polar.re, polar.im)) {
      fail(
        `line ${table.lines[row]}, real`,
        "does not belong to magnitude_db and phase_deg",
        "delete the columns real and imaginary if level and phase are right",
      );
    }
  });
  return { re, im };
}
