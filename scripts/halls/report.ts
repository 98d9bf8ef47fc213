/** What the rows of many shows come to, as the table that tests/README.md carries. */
import type { Row } from "./row";

interface Criterion {
  readonly what: string;
  readonly found: string;
  readonly wanted: string;
  readonly holds: boolean;
}

/** What must hold over healthy shows. */
export function criteria(rows: readonly Row[]): Criterion[] {
  const errors = sizes(rows);
  const sum = (of: (row: Row) => number) => rows.reduce((total, row) => total + of(row), 0);
  const [expected, kept] = [sum((r) => r.expected), sum((r) => r.kept)];
  const [median, high] = [quantile(errors, 0.5), quantile(errors, 0.95)];
  const within = coverage(rows);
  const untrue = (10 * sum((r) => r.untrue.length)) / rows.length;
  return [
    line("positions kept, of those 10 dB above the noise", kept / expected, 0.98, 1, percent),
    line("error of the offset, median", median, 0, 0.1, decibels),
    line("error of the offset, 95th percentile", high, 0, 0.5, decibels),
    line("90 % interval of the offset holds the truth", within, 0.87, 0.93, percent),
    line("untrue warnings in ten shows", untrue, 0, 1, (x) => x.toFixed(1)),
  ];
}

/** The same by decay, noise, signal and noise-floor recording, as a Markdown table. */
export function breakdown(rows: readonly Row[]): string {
  const groups: readonly [string, (row: Row) => boolean][] = [
    ["all", () => true],
    ["decay below 0.8 s", ({ truth }) => truth.decay_s < 0.8],
    ["0.8–1.5 s", ({ truth }) => truth.decay_s >= 0.8 && truth.decay_s < 1.5],
    ["1.5 s and more", ({ truth }) => truth.decay_s >= 1.5],
    ["10–20 dB above the noise", ({ truth }) => truth.snr_db < 20],
    ["20–30 dB", ({ truth }) => truth.snr_db >= 20 && truth.snr_db < 30],
    ["30–40 dB", ({ truth }) => truth.snr_db >= 30],
    ["noise", ({ truth }) => truth.signal === "noise"],
    ["sweep", ({ truth }) => truth.signal === "sweep"],
    ["music", ({ truth }) => truth.signal === "music"],
    ["with noise-floor recording", ({ truth }) => truth.noise_floor],
    ["without", ({ truth }) => !truth.noise_floor],
  ];
  const lines = groups.flatMap(([name, belongs]) => {
    const some = rows.filter(belongs);
    return some.length
      ? [
          `| ${name} | ${some.length} | ${criteria(some)
            .map((c) => c.found)
            .join(" | ")} |`,
        ]
      : [];
  });
  return [
    "| | shows | positions kept | error, median | error, 95th percentile | interval holds | untrue warnings in ten shows |",
    "| --- | --- | --- | --- | --- | --- | --- |",
    ...lines,
  ].join("\n");
}

/** Which planted faults were found, as a Markdown table, and their part of all. */
export function faultsFound(rows: readonly Row[]): { readonly table: string; readonly criterion: Criterion } {
  const kinds = [...new Set(rows.map(({ truth }) => truth.fault))];
  const lines = kinds.map((kind) => {
    const some = rows.filter(({ truth }) => truth.fault === kind);
    return `| ${kind} | ${some.filter(({ found }) => found).length} of ${some.length} |`;
  });
  const part = rows.filter(({ found }) => found).length / rows.length;
  return {
    table: ["| planted fault | found with its cause |", "| --- | --- |", ...lines].join("\n"),
    criterion: line("planted faults found with their cause", part, 0.9, 1, percent),
  };
}

export const told = ({ what, found, wanted, holds }: Criterion): string =>
  `  ${holds ? "holds" : "FAILS"}  ${what}: ${found} (${wanted})`;

function line(
  what: string,
  value: number,
  least: number,
  most: number,
  form: (x: number) => string,
): Criterion {
  const wanted =
    least > 0 && most < 1
      ? `${form(least)} to ${form(most)}`
      : least > 0
        ? `at least ${form(least)}`
        : `at most ${form(most)}`;
  return { what, found: form(value), wanted, holds: value >= least && value <= most };
}

/** Sizes of the errors; a show without an offset counts as wrong without bounds. */
const sizes = (rows: readonly Row[]) =>
  rows.map(({ error_db = Infinity }) => Math.abs(error_db)).sort((a, b) => a - b);

const coverage = (rows: readonly Row[]) => rows.filter(({ inside }) => inside).length / rows.length;

const quantile = (sorted: readonly number[], p: number) =>
  sorted[Math.min(sorted.length - 1, Math.ceil(p * sorted.length) - 1)];
const percent = (x: number) => `${(100 * x).toFixed(1)} %`;
const decibels = (x: number) => `${x.toFixed(2)} dB`;
