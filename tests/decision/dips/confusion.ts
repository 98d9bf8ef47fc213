/** Counts what the explainer makes of venues with one known cause. */
import { type CauseKind, explainDips } from "../../../lib/decision/dips/causes";
import { findDips } from "../../../lib/decision/dips/dips";
import type { DipGroup } from "../../../lib/decision/dips/result";
import type { Venue } from "../../../lib/venue/venue";
import { CAUSES, type Cause, type KnownDip, knownDip, takenOut } from "./venues";

export interface Confusion {
  /** How often each verdict was given, by the true cause. */
  readonly withCause: ReadonlyMap<Cause, ReadonlyMap<CauseKind, number>>;
  /** The same with the true cause taken out of the list. */
  readonly leftOut: ReadonlyMap<Cause, ReadonlyMap<CauseKind, number>>;
  readonly count: number;
  /** Venues in which the search found none of the dips that the cause makes: a wrong verdict with the cause, none without. */
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

/** The verdict on the group that holds most of the dips which the cause makes; undefined where none was found. */
export function verdictOf(
  known: KnownDip,
  drawn: Venue,
  leaveOut: readonly CauseKind[] = [],
): CauseKind | undefined {
  const search = findDips(known.survey);
  const explained = explainDips(search, drawn, known.survey, { leaveOut });
  const group = causedGroup(known, search.groups);
  return explained.find((e) => e.group === group)?.verdict;
}

/** Of the part in which the cause acts, the group with most decibels of dips that the cause makes. */
export function causedGroup(known: KnownDip, groups: readonly DipGroup[]): DipGroup | undefined {
  const own = (g: DipGroup): number =>
    g.dips
      .filter((d) =>
        known.caused.some(
          (c) => c.row === d.row && Math.abs(Math.log2(c.frequency_hz / d.frequency_hz)) < 0.1,
        ),
      )
      .reduce((sum, d) => sum + d.depth_db, 0);
  const ranked = groups.filter((g) => g.part === known.part && own(g) > 0);
  return ranked.sort((a, b) => own(b) - own(a))[0];
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
