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
 * A table of a result, or of a few rows.
 *
 * @param result  from `measure` or `decide`; or rows, one object each, whose keys are the headings, so units belong into
 *   them: "delay (ms)"
 * @param options  `caption`; `digits` after the point for numbers that are not whole, default 1
 * @returns something to `show`
 * @throws RangeError when there is no row, or a row lacks a column
 */
export function table(
  result: Tabular,
  options: { readonly caption?: string; readonly digits?: number } = {},
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
 * A danfojs data frame. The package is loaded here and not before: it takes about a second.
 *
 * @param result  from `measure` or `decide`; or rows, one object each
 * @returns the frame
 * @throws RangeError when there is no row
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
  return (Number.isInteger(cell) ? String(cell) : cell.toFixed(digits)).replace("-", "−");
}
