/** Results as the rows of a table: what a lesson shows of them, with units in the headings. */
import type { AlignmentResult } from "../../decision/alignment/result";
import type { BalanceResult, PositionBalance } from "../../decision/balance/balance";
import type { Calibration, FittedValue } from "../../decision/calibration/result";
import type { ExplainedDip } from "../../decision/dips/causes";
import type { DipGroup, DipSearch } from "../../decision/dips/result";
import type { LayoutComparison, LayoutFigures } from "../../decision/layouts/compare-result";
import type { LayoutChoice, LayoutSearchResult } from "../../decision/layouts/search-result";
import type { OffsetResult } from "../../decision/offset/result";
import type { ReferenceResult } from "../../decision/reference/result";
import type { MicrophoneMatch } from "../../measurement/health/microphones";
import type { SpreadInBand } from "../../measurement/transfer/spread";
import type { FoundDelay } from "../../study/measure-take";

/** A row: its cells by the heading of their column. */
export type Row = { readonly [heading: string]: string | number | boolean | null };

/** A delay, and where it was found. */
export type NamedDelay = Pick<FoundDelay, "position" | "result"> & Partial<Pick<FoundDelay, "playing">>;

/** Whatever a table can be made of: rows, or a result that knows its own. */
export type Tabular =
  | readonly Row[]
  | readonly MicrophoneMatch[]
  | readonly NamedDelay[]
  | readonly SpreadInBand[]
  | readonly ExplainedDip[]
  | AlignmentResult
  | BalanceResult
  | Calibration
  | DipSearch
  | LayoutComparison
  | LayoutSearchResult
  | OffsetResult
  | ReferenceResult;

/**
 * A result as rows, to compute with or to choose columns from.
 *
 * @param result  of `measure` or `decide`, or rows of your own, which stay as they are
 * @returns one object a row; its keys are the headings, which name the unit
 * @throws RangeError when it is nothing that a table can be made of
 * @source own way, no outside source; check: tests/lesson/output/show.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const seats = venues.seats(hall, { count: 12 }); // four rows of three
 * const survey = predict.survey(hall, seats, { order: 0 });
 * tables.rows(decide.balance(survey)).length // 12
 */
export function rows(result: Tabular): Row[] {
  if (isList(result)) return rowsOfList(result);
  if ("preferred" in result) return offsetRows(result);
  if ("audienceThirdOctaves_db" in result) return rankingRows(result);
  if ("layouts" in result) return result.layouts.map(layoutRow);
  if ("current" in result) return alignmentRows(result);
  if ("lowBand_hz" in result) return result.positions.map(balanceRow);
  if ("values" in result) return result.values.map(fittedRow);
  if ("groups" in result) return result.groups.map(dipRow);
  if ("choices" in result) return result.choices.map(layoutRow);
  throw new RangeError(
    "there is no table of this: expected a list of rows, or a result of measure or decide",
  );
}

/** `Array.isArray` does not tell a list that can't be written to. */
const isList = (result: Tabular): result is Extract<Tabular, readonly unknown[]> => Array.isArray(result);

function rowsOfList(
  list: readonly (Row | MicrophoneMatch | NamedDelay | SpreadInBand | ExplainedDip)[],
): Row[] {
  if (list.every(isMicrophone)) return list.map(microphoneRow);
  if (list.every(isDelay)) return delayRows(list);
  if (list.every(isSpread)) return list.map(spreadRow);
  if (list.every(isExplained)) return list.map(causeRow);
  return list as Row[];
}

const isMicrophone = (one: object): one is MicrophoneMatch => "correction" in one && "pass" in one;
const isDelay = (one: object): one is NamedDelay => "position" in one && "result" in one;

const isSpread = (one: object): one is SpreadInBand => "band" in one && "deviation" in one;
const isExplained = (one: object): one is ExplainedDip => "verdict" in one && "group" in one;

const microphoneRow = (m: MicrophoneMatch): Row => ({
  channel: m.channel,
  "level (dB)": m.level,
  polarity: m.polarity,
  "phase (°)": m.phase,
  passes: m.pass,
  fault: m.faults.join("; ") || null,
});

/** The strongest arrival and the next one; what was playing is told where it differs. */
function delayRows(delays: readonly NamedDelay[]): Row[] {
  const several = new Set(delays.map(({ playing }) => playing)).size > 1;
  return delays.map(({ position, playing, result: { candidates } }) => ({
    position,
    ...(several ? { playing: playing ?? null } : {}),
    "strongest (ms)": candidates[0].time * 1000,
    "next (ms)": candidates.length > 1 ? candidates[1].time * 1000 : null,
    "next is weaker by (dB)": candidates.length > 1 ? -candidates[1].strength : null,
  }));
}

/** One row for all together, and one for each who might decide alone. */
const offsetRows = (result: OffsetResult): Row[] =>
  [{ who: "all together", offset_db: result.offset_db, audience: result.audience }, ...result.preferred].map(
    ({ who, offset_db, audience }) => ({
      "who decides": who,
      "subs (dB)": offset_db,
      "within 3 dB (of 100 people)": Math.round(audience.within3dB_fraction * 100),
      "deviation, RMS (dB)": audience.rms_db,
    }),
  );

/** One row for each position where the mix engineer may stand, best first. */
const rankingRows = ({ positions }: ReferenceResult): Row[] =>
  positions.map((p) => ({
    rank: p.rank,
    position: p.id,
    "off by (dB)": p.score_db,
    "bass relative to the audience (dB)": p.bias_db,
    "dips of its own": p.notches.length,
  }));

/** As measured, then the best settings of delay and polarity. */
const alignmentRows = ({ current, choices }: AlignmentResult): Row[] =>
  [current, ...choices].map((c, i) => ({
    setting: i === 0 ? "as measured" : `choice ${i}`,
    "subs later (ms)": c.delay_ms,
    polarity: c.polarity === 1 ? "normal" : "inverted",
    "lost, audience (dB)": c.audienceLoss_db,
    "lose 3 dB at most (of 100)": Math.round(100 * c.within3dB_fraction),
  }));

const balanceRow = (p: PositionBalance): Row => ({
  position: p.id,
  people: Math.round(p.people),
  "low band (dB)": p.low_db,
  "mid band (dB)": p.mid_db,
  "off target (dB)": p.deviation_db,
});

const fittedRow = (v: FittedValue): Row => ({
  value: v.name,
  change: v.change,
  "standard error": v.standardError,
  unit: v.unit,
  "error left (%)": 100 * v.left_fraction,
});

const dipRow = (g: DipGroup): Row => ({
  part: g.part,
  "frequency (Hz)": g.frequency_hz,
  "depth (dB)": g.depth_db,
  "positions (%)": 100 * g.positions_fraction,
  behaviour: g.behaviour,
});

/** The dip, and what it comes to. */
const causeRow = ({ group, verdict, named, confidence_fraction }: ExplainedDip): Row => ({
  part: group.part,
  "frequency (Hz)": group.frequency_hz,
  "depth (dB)": group.depth_db,
  cause: named.length > 0 ? named.join(", ") : verdict,
  "confidence (%)": 100 * confidence_fraction,
});

const spreadRow = (s: SpreadInBand): Row => ({
  "third octave (Hz)": s.band.nominal,
  "mean (dB)": s.mean,
  "deviation (dB)": s.deviation,
  positions: s.positions.length,
});

const layoutRow = (l: LayoutFigures | LayoutChoice): Row => ({
  layout: l.name,
  "uneven, rms (dB)": l.deviation_db,
  "front row (dB)": l.frontRow_db,
  "on stage (dB)": l.spill_db,
  "loudest cabinet (dB)": l.loudest_db,
});
