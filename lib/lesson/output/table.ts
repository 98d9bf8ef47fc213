/**
 * Tables: a light one for a few rows, and danfojs frames where a lesson sorts, groups or computes columns.
 */
import { escapeHtml } from "../../text/escape";
import { rows, type Tabular } from "./rows";
import type { Showable } from "./showable";

/** As much of a danfojs data frame as showing one needs. */
export interface Frame {
  readonly columns: readonly string[];
  readonly values: readonly unknown[];
}

/** A data frame with the few things that a lesson does with one; the rest is in danfojs' own reference. */
export interface DataFrame extends Frame {
  head(rows?: number): DataFrame;
  tail(rows?: number): DataFrame;
  sortValues(column: string, options?: { readonly ascending?: boolean }): DataFrame;
  loc(selection: { readonly columns?: readonly string[]; readonly rows?: readonly unknown[] }): DataFrame;
  describe(): DataFrame;
}

/**
 * A table of a result, or of a few rows, for a notebook.
 *
 * @param result  of `measure` or `decide`; or rows, one object each, whose keys are the headings, so units belong into
 *   them: "delay (ms)"
 * @param options  caption, digits
 * @returns something to `show`
 * @throws RangeError when there is no row, a row lacks a column, or `digits` is not 0 to 100
 * @source own way, no outside source; check: tests/lesson/output/show.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * show(tables.of(decide.balance(survey), { caption: "As modelled" }));
 */
export function table(
  result: Tabular,
  options: {
    /** Above the table; none by default. */
    readonly caption?: string;
    /** After the point, for numbers that are not whole, 0 to 100. Default 1. */
    readonly digits?: number;
  } = {},
): Showable {
  const list = rows(result);
  if (list.length === 0) throw new RangeError("there is no row to show: the table is empty");
  const headings = Object.keys(list[0]);
  const cells = list.map((row, i) =>
    headings.map((heading) => {
      if (!Object.hasOwn(row, heading)) throw new RangeError(`row ${i + 1} has no "${heading}"`);
      return row[heading];
    }),
  );
  return { html: tableHtml(headings, cells, options.caption, options.digits ?? 1) };
}

/**
 * A danfojs data frame, to sort, select or describe the rows of a result. The package is loaded at the first call, which
 * takes about a second.
 *
 * @param result  of `measure` or `decide`; or rows, one object each, whose keys are the headings
 * @returns a promise of the frame: write "await" before the call
 * @throws RangeError when there is no row
 * @source danfojs (danfojs-node), an open-source package; check: tests/lesson/output/show.test.ts
 * @example
 * const levels = [{ row: "A", "level (dB)": 101.5 }, { row: "F", "level (dB)": 97 }];
 * const frame = await dataFrame(levels);
 * frame.columns // ["row", "level (dB)"]
 */
export async function dataFrame(result: Tabular): Promise<DataFrame> {
  const list = rows(result);
  if (list.length === 0) throw new RangeError("there is no row to make a data frame of");
  const danfo = await import("danfojs-node");
  return new danfo.DataFrame(list.map((row) => ({ ...row }))) as unknown as DataFrame;
}

/** A data frame as HTML. */
export function frameHtml({ columns, values }: Frame): string {
  const cells = values.map((row) => (Array.isArray(row) ? row : [row]));
  return tableHtml(columns, cells, undefined, 1);
}

function tableHtml(
  headings: readonly string[],
  rows: readonly (readonly unknown[])[],
  caption: string | undefined,
  digits: number,
): string {
  const numeric = headings.map((_, k) => rows.every((row) => typeof row[k] === "number" || row[k] === null));
  const side = (k: number) => ` style="text-align:${numeric[k] ? "right" : "left"}"`;
  const head = headings.map((h, k) => `<th scope="col"${side(k)}>${escapeHtml(h)}</th>`).join("");
  const body = rows.map(
    (row) =>
      `<tr>${row.map((cell, k) => `<td${side(k)}>${escapeHtml(cellText(cell, digits))}</td>`).join("")}</tr>`,
  );
  return [
    // Wider than a phone, it scrolls: by the keyboard too, once it can be reached.
    `<div style="overflow-x:auto" role="group" aria-label="${escapeHtml(caption ?? "Table")}" tabindex="0"><table class="evenground-table">`,
    caption ? `<caption>${escapeHtml(caption)}</caption>` : "",
    `<thead><tr>${head}</tr></thead>`,
    `<tbody>${body.join("\n")}</tbody></table></div>`,
  ].join("\n");
}

function cellText(cell: unknown, digits: number): string {
  if (cell === null || cell === undefined) return "–";
  if (typeof cell === "boolean") return cell ? "yes" : "no";
  if (typeof cell !== "number") return String(cell);
  if (!Number.isFinite(cell)) return "–";
  const text = Number.isInteger(cell) ? String(cell) : cell.toFixed(digits);
  // What rounds to nothing has no sign.
  return text.replace(/^-(?=[0.]+$)/, "").replace("-", "−");
}
