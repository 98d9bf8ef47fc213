/** What the rows of many shows come to, as the table that tests/README.md carries. */
import type { Row } from "./row";

export interface Criterion {
  readonly what: string;
  readonly found: string;
  readonly wanted: string;
  readonly holds: boolean;
}

/** What must hold over healthy shows. */
export function criteria(rows: readonly Row[]): Criterion[] {
  const errors = rows.map(({ error_db = Infinity }) => Math.abs(error_db)).sort((a, b) => a - b);
  const sum = (of: (row: Row) => number) => rows.reduce((total, row) => total + of(row), 0);
  const count = (of: (row: Row) => boolean | undefined) => rows.filter(of).length;
  const n = rows.length;
  const above = (limit: number) => errors.filter((e) => e > limit).length;
  const expected = sum((r) => r.expected);
  const kept = sum((r) => r.kept);
  const inside = count((r) => r.inside);
  const untrue = sum((r) => r.untrue.length);
  const alarms = count((r) => r.alarm);
  return [
    {
      what: "positions kept, of those 10 dB above the noise",
      found: percent(kept / expected),
      wanted: "98 % or more",
      holds: expected - kept <= most(0.02, expected),
    },
    {
      what: "error of the offset, median",
      found: decibels(quantile(errors, 0.5)),
      wanted: "at most 0.1 dB",
      holds: above(0.1) <= most(0.5, n),
    },
    {
      what: "error of the offset, 95th percentile",
      found: decibels(quantile(errors, 0.95)),
      wanted: "at most 0.5 dB",
      holds: above(0.5) <= most(0.05, n),
    },
    {
      what: "90 % interval of the offset holds the truth",
      found: percent(inside / n),
      wanted: "87 to 93 %",
      holds: n - inside <= most(0.13, n) && inside <= most(0.93, n),
    },
    {
      what: "untrue warnings in ten shows",
      found: ((10 * untrue) / n).toFixed(1),
      wanted: "at most 1",
      holds: untrue <= most(0.1, n),
    },
    {
      what: "healthy shows in which a fault is named",
      found: percent(alarms / n),
      wanted: "at most 2 %",
      holds: alarms <= most(0.02, n),
    },
  ];
}

/** Fewer shows than this can't tell such figures. */
const ENOUGH = 100;

/** How many of so many may be: with few, also what chance makes of that fraction once in a thousand times. */
function most(fraction: number, n: number): number {
  return n >= ENOUGH ? fraction * n : fraction * n + 3.1 * Math.sqrt(fraction * (1 - fraction) * n);
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
    "| | shows | positions kept | error, median | error, 95th percentile | interval holds | untrue warnings in ten shows | a fault is named |",
    "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ...lines,
  ].join("\n");
}

/** Which planted faults were found, as a Markdown table, and whether enough of them were. */
export function faultsFound(rows: readonly Row[]): { readonly table: string; readonly criterion: Criterion } {
  const kinds = [...new Set(rows.map(({ truth }) => truth.fault))];
  const lines = kinds.map((kind) => {
    const some = rows.filter(({ truth }) => truth.fault === kind);
    return `| ${kind} | ${some.filter(({ found }) => found).length} of ${some.length} |`;
  });
  const missed = rows.filter(({ found }) => !found).length;
  return {
    table: ["| planted fault | found with its cause |", "| --- | --- |", ...lines].join("\n"),
    criterion: {
      what: "planted faults found with their cause",
      found: percent(1 - missed / rows.length),
      wanted: "90 % or more",
      holds: missed <= most(0.1, rows.length),
    },
  };
}

export const told = ({ what, found, wanted, holds }: Criterion): string =>
  `  ${holds ? "holds" : "FAILS"}  ${what}: ${found} (${wanted})`;

const quantile = (sorted: readonly number[], p: number) =>
  sorted[Math.min(sorted.length - 1, Math.ceil(p * sorted.length) - 1)];
const percent = (x: number) => `${(100 * x).toFixed(1)} %`;
const decibels = (x: number) => `${x.toFixed(2)} dB`;
