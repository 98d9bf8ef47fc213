/**
 * Trace files out: CSV text that gives the very same response back when it is read.
 *
 * Every number is written in the fewest digits that return it. Level and phase in double precision can't return every complex
 * number to the last bit; only where they don't, two columns `real` and `imaginary` are added, which do.
 */
import type { Response } from "../../acoustics/response";
import { writeWhole } from "../../files/write";
import { columnLimits } from "./columns";
import { type Polar, shortestPolar, toPolar } from "./polar";
import { commentKey } from "./table";

/**
 * What is written above the numbers: each key a line of its own.
 */
export interface TraceComments {
  /** Measured it. */
  readonly who?: string;
  /** Was playing, such as "mains, left and right". */
  readonly what?: string;
  /** The microphone stood, such as "row F, seat 12". */
  readonly where?: string;
  /** It was measured, such as "2031-05-04 16:20". */
  readonly when?: string;
  readonly [key: string]: string | undefined;
}

/**
 * The text of a trace file, which gives the very same response back when it is read.
 *
 * @param response  frequencies in hertz, above 0 and ascending, with a complex value at each
 * @param comments  who measured what, where and when, and whatever else; keys are lower-case letters, digits, blanks, `_`
 *   and `-`. None by default
 * @param notes  lines without a key; none by default
 * @returns CSV text: hertz, dB and degrees, commas between columns, points as decimals, lines ended by a line feed
 * @throws RangeError when a value isn't finite or not what `read.traceText` would accept, or a comment doesn't fit one line
 * @source CSV: RFC 4180, with line feeds and comments; the columns: own way, no outside source; check:
 *   tests/measurement/trace/trace.test.ts
 * @example
 * const [frequency, re, im] = [[1000], [1], [0]].map((list) => Float64Array.from(list));
 * write.traceText({ frequency, re, im }, { what: "mains" }) // "# what: mains\nfrequency_hz,magnitude_db,phase_deg\n1000,0,0\n"
 */
export function writeTrace(
  response: Response,
  comments: TraceComments = {},
  notes: readonly string[] = [],
): string {
  requireWritable(response);
  const { frequency, re, im, coherence, averages, diffuse, magnitudeOnly } = response;
  const exact = Array.from(frequency, (_, i) => shortestPolar(re[i], im[i]));
  const withPhase = magnitudeOnly !== true;
  const rectangular = exact.some((polar) => !polar);
  const polar = (i: number): Polar => exact[i] ?? rounded(toPolar(re[i], im[i]));
  const columns: (readonly [string, (i: number) => number])[] = [
    ["frequency_hz", (i) => frequency[i]],
    ["magnitude_db", (i) => polar(i).magnitudeDb],
  ];
  if (withPhase) columns.push(["phase_deg", (i) => polar(i).phaseDeg]);
  if (coherence) columns.push(["coherence", (i) => coherence[i]]);
  if (averages) columns.push(["averages", (i) => averages[i]]);
  if (diffuse) columns.push(["diffuse", (i) => diffuse[i]]);
  if (rectangular) columns.push(["real", (i) => re[i]]);
  if (rectangular && withPhase) columns.push(["imaginary", (i) => im[i]]);
  const lines = [
    ...commentLines(comments, notes),
    columns.map(([name]) => name).join(","),
    ...Array.from(frequency, (_, i) => columns.map(([, value]) => numberText(value(i))).join(",")),
  ];
  return `${lines.join("\n")}\n`;
}

/**
 * Writes a trace file, which gives the very same response back when it is read.
 *
 * @param path  where; an existing file is replaced. A relative one starts from where the notebook lies
 * @param response  frequencies in hertz, above 0 and ascending, with a complex value at each
 * @param comments  who measured what, where and when, and whatever else; none by default
 * @param notes  lines without a key; none by default
 * @returns nothing: it writes the file
 * @throws RangeError as `write.traceText`, or when the system refuses the file
 * @source CSV: RFC 4180, with line feeds and comments; the columns: own way, no outside source; check:
 *   tests/measurement/trace/trace.test.ts
 * @example
 * const response = { frequency: Float64Array.of(63, 125), re: Float64Array.of(1, 0.3), im: Float64Array.of(0, -0.1) };
 * write.trace("row-f.csv", response, { what: "mains", where: "row F" });
 * read.trace("row-f.csv").im // [0, -0.1]
 */
export function writeTraceFile(
  path: string,
  response: Response,
  comments: TraceComments = {},
  notes: readonly string[] = [],
): void {
  writeWhole(path, writeTrace(response, comments, notes));
}

function numberText(x: number): string {
  return Object.is(x, -0) ? "-0" : String(x);
}

/** Beside exact columns, level and phase are for the reader's eye: twelve digits are plenty. */
function rounded({ magnitudeDb, phaseDeg }: Polar): Polar {
  return { magnitudeDb: Number(magnitudeDb.toPrecision(12)), phaseDeg: Number(phaseDeg.toPrecision(12)) };
}

function commentLines(comments: TraceComments, notes: readonly string[]): string[] {
  const keyed = Object.entries(comments).flatMap(([key, value]) => {
    if (value === undefined) return [];
    if (!/^[a-z][a-z0-9 _-]{0,39}$/.test(key) || key.endsWith(" ")) {
      throw new RangeError(
        `comments has the key "${key}", expected lower-case letters, digits, blanks, _ and -`,
      );
    }
    return [`# ${key}: ${oneLine(value, `comments.${key}`)}`.trimEnd()];
  });
  notes.forEach((note, i) => {
    const key = commentKey(note.trim());
    if (key === undefined || comments[key] !== undefined) return;
    throw new RangeError(
      `notes[${i}] begins with "${key}:" and would be read as a comment of that key; give it as one`,
    );
  });
  return [...keyed, ...notes.map((note, i) => `# ${oneLine(note, `notes[${i}]`)}`)];
}

function oneLine(value: string, field: string): string {
  if (/[\r\n\0]/.test(value)) throw new RangeError(`${field} has more than one line, expected one`);
  return value.trim();
}

const fields = [
  ["re", "real"],
  ["im", "imaginary"],
  ["coherence", "coherence"],
  ["averages", "averages"],
  ["diffuse", "diffuse"],
] as const;

function requireWritable(response: Response): void {
  const { frequency, magnitudeOnly, re, im } = response;
  const n = frequency.length;
  if (n === 0) throw new RangeError("response has no frequencies, expected at least one");
  const rising = frequency.every((f, i) => f > 0 && f <= 1e6 && (i === 0 || f > frequency[i - 1]));
  if (!rising) throw new RangeError("response.frequency must be above 0 Hz and ascending to be written");
  for (const [name, column] of fields) {
    const values = response[name];
    if (!values) continue;
    if (values.length !== n) {
      throw new RangeError(`response.${name} has ${values.length} values, expected ${n}`);
    }
    const [lowest, highest, expected] = columnLimits[column];
    const bad = values.findIndex((x) => !(x >= lowest && x <= highest));
    if (bad >= 0) throw new RangeError(`response.${name}[${bad}] is ${values[bad]}, expected ${expected}`);
  }
  const faint = re.findIndex((x, i) => (x !== 0 || im[i] !== 0) && Math.hypot(x, im[i]) < 0.999e-50);
  if (faint >= 0)
    throw new RangeError(`response at index ${faint} is below -1000 dB, expected 0 or more than that`);
  if (magnitudeOnly && (im.some((x) => x !== 0) || re.some((x) => x < 0))) {
    throw new RangeError(
      "response.im must be 0 and response.re not negative where only the magnitude is known",
    );
  }
}
