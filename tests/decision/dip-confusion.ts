/** Counts what the explainer makes of venues with one known cause. */
import { type CauseKind, explainDips } from "../../lib/decision/dip-causes";
import { findDips } from "../../lib/decision/dips";
import type { Venue } from "../../lib/venue/venue";
import { CAUSES, type Cause, type KnownDip, knownDip, takenOut } from "./dip-venues";

export interface Confusion {
  /** How often each verdict was given, by the true cause. */
  readonly withCause: ReadonlyMap<Cause, ReadonlyMap<CauseKind, number>>;
  /** The same with the true cause taken out of the list. */
  readonly leftOut: ReadonlyMap<Cause, ReadonlyMap<CauseKind, number>>;
  readonly count: number;
  /** Venues in which the search found no dip at all. */
  readonly notFound: number;
  /** Seeds whose cause makes no dip. */
  readonly skipped: number;
}

/** Causes in turn, seeds one after the other from `firstSeed`, until `count` venues were judged. */
export function confusion(count: number, firstSeed: number): Confusion {
  const withCause = new Map<Cause, Map<CauseKind, number>>(CAUSES.map((c) => [c, new Map()]));
  const leftOut = new Map<Cause, Map<CauseKind, number>>(CAUSES.map((c) => [c, new Map()]));
  let notFound = 0;
  let skipped = 0;
  let seed = firstSeed;
  for (let judged = 0; judged < count; ) {
    const cause = CAUSES[judged % CAUSES.length];
    const known = knownDip(seed++, cause);
    if (!known) {
      skipped++;
      continue;
    }
    judged++;
    const verdict = verdictOf(known, known.drawn);
    if (!verdict) notFound++;
    add(withCause.get(cause), verdict);
    const { drawn, leaveOut } = takenOut(known);
    add(leftOut.get(cause), verdictOf(known, drawn, leaveOut));
  }
  return { withCause, leftOut, count, notFound, skipped };
}

/** The verdict on the deepest and most widespread dip of the part in question. */
export function verdictOf(
  known: KnownDip,
  drawn: Venue,
  leaveOut: readonly CauseKind[] = [],
): CauseKind | undefined {
  const search = findDips(known.survey);
  const groups = search.groups.filter((g) => g.part === known.part);
  return explainDips({ ...search, groups }, drawn, known.survey, { leaveOut })[0]?.verdict;
}

function add(row: Map<CauseKind, number> | undefined, kind: CauseKind | undefined): void {
  const key = kind ?? "none of these";
  row?.set(key, (row.get(key) ?? 0) + 1);
}

export function rightShare({ withCause, count }: Confusion): number {
  return CAUSES.reduce((sum, c) => sum + (withCause.get(c)?.get(c) ?? 0), 0) / count;
}

export function noneShare({ leftOut, count }: Confusion): number {
  return CAUSES.reduce((sum, c) => sum + (leftOut.get(c)?.get("none of these") ?? 0), 0) / count;
}

/** As a table in Markdown: true causes down, verdicts across. */
export function confusionTable(rows: ReadonlyMap<Cause, ReadonlyMap<CauseKind, number>>): string {
  const kinds = [...CAUSES, "other surface", "none of these"] as const;
  const line = (cells: readonly (string | number)[]) => `| ${cells.join(" | ")} |`;
  return [
    line(["true cause", ...kinds]),
    line(["---", ...kinds.map(() => "---")]),
    ...CAUSES.map((c) => line([c, ...kinds.map((k) => rows.get(c)?.get(k) ?? 0)])),
  ].join("\n");
}
