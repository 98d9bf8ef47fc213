/** Which slips were named, as the table that tests/README.md carries. */
import type { Verification, VerificationCause } from "../../lib/study/verification/result";

/** A slip as entered.py has it, and what names it. */
export interface Case {
  readonly name: string;
  readonly show: string;
  readonly expected: (Partial<VerificationCause> & { louder_db?: number; state?: string }) | null;
}

export interface Row {
  readonly name: string;
  readonly isRight: boolean;
  readonly isAlone: boolean;
  readonly isReached: boolean;
  readonly isPlanted: boolean;
}

/** Named, alone or with one other that fits alike, and its figure about right; or nothing named where there is nothing. */
export function rightly({ state, causes, louder_db }: Verification, expected: Case["expected"]): boolean {
  if (expected === null) return state === "reached" && causes.length === 0;
  if (expected.state) return state === expected.state;
  if (expected.louder_db !== undefined)
    return state === "reached" && causes.length === 0 && Math.abs(louder_db - expected.louder_db) < 1;
  const near = (a: number | undefined, b: number | undefined, by: number) =>
    b === undefined || (a !== undefined && Math.abs(a - b) < by);
  return (
    causes.length <= 2 &&
    causes.some(
      (cause) =>
        cause.kind === expected.kind &&
        near(cause.level_db, expected.level_db, 1) &&
        near(cause.delay_ms, expected.delay_ms, 0.7) &&
        (expected.positions === undefined || expected.positions.join() === cause.positions?.join()),
    )
  );
}

export function tableOf(rows: readonly Row[]): string {
  const line = (name: string, some: readonly Row[]) => {
    const count = (of: (row: Row) => boolean) => some.filter(of).length;
    return `| ${name} | ${count((r) => r.isRight)} of ${some.length} | ${count((r) => r.isRight && r.isAlone)} | ${count((r) => r.isReached)} |`;
  };
  const names = [...new Set(rows.map(({ name }) => name))];
  const planted = rows.filter((row) => row.isPlanted);
  const healthy = rows.filter((row) => !row.isPlanted);
  const percent = (some: readonly Row[]) =>
    `${((100 * some.filter((r) => r.isRight).length) / some.length).toFixed(1)} %`;
  return [
    "| what happened | named right | of these alone | levels reached |",
    "| --- | --- | --- | --- |",
    ...names.map((name) =>
      line(
        name,
        rows.filter((row) => row.name === name),
      ),
    ),
    "",
    `planted and named right: ${percent(planted)} of ${planted.length}; nothing planted and nothing named: ${percent(healthy)} of ${healthy.length}`,
  ].join("\n");
}
