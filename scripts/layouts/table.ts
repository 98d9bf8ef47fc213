/** The Pareto set as lines of text. */
import type { LayoutSearchResult } from "../../lib/decision/layouts/search-result";

/** One line per choice: name, cabinets, and what it does. */
export function tableOf({ choices }: LayoutSearchResult): string {
  const rows = choices.map((c) => [
    c.name,
    `${c.cabinets.length}`,
    c.deviation_db.toFixed(1),
    `${Math.round(100 * c.audience.within3dB_fraction)} %`,
    signed(c.frontRow_db),
    c.spill_db === null ? "–" : signed(c.spill_db),
    c.level_db.toFixed(0),
    signed(c.loudest_db),
  ]);
  const all = [heads, ...rows];
  const widths = heads.map((_, k) => Math.max(...all.map((row) => row[k].length)));
  return all.map((row) => row.map((cell, k) => cell.padStart(widths[k])).join("   ")).join("\n");
}

const heads = [
  "layout",
  "cabinets",
  "deviation (dB rms)",
  "within 3 dB",
  "front row (dB)",
  "stage (dB)",
  "level (dB)",
  "loudest (dB)",
];

const signed = (x: number): string => `${x < -0.05 ? "−" : x < 0.05 ? "" : "+"}${Math.abs(x).toFixed(1)}`;
