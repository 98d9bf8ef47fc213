/** Results as the rows of a table: what a lesson shows of them, with units in the headings. */
import type { OffsetResult } from "../../decision/offset/result";
import type { ReferenceResult } from "../../decision/reference/result";
import type { MicrophoneMatch } from "../../measurement/health/microphones";
import type { FoundDelay } from "../../study/measure";

/** A row: its cells by the heading of their column. */
export type Row = { readonly [heading: string]: string | number | boolean | null };

/** A delay, and where it was found. */
export type NamedDelay = Pick<FoundDelay, "position" | "result"> & Partial<Pick<FoundDelay, "playing">>;

/** Whatever a table can be made of: rows, or a result that knows its own. */
export type Tabular =
  | readonly Row[]
  | readonly MicrophoneMatch[]
  | readonly NamedDelay[]
  | OffsetResult
  | ReferenceResult;

/**
 * A result as rows.
 *
 * @param result  from `measure` or `decide`, or rows of your own, which stay as they are
 * @returns one object a row; the headings are its keys
 * @throws RangeError when it is nothing that a table can be made of
 */
export function rows(result: Tabular): Row[] {
  if (Array.isArray(result)) return rowsOfList(result);
  if ("preferred" in result) return offsetRows(result);
  if ("audienceThirdOctaves_db" in result) return rankingRows(result);
  throw new RangeError(
    "there is no table of this: expected a list of rows, or a result of measure or decide",
  );
}

function rowsOfList(list: readonly (Row | MicrophoneMatch | NamedDelay)[]): Row[] {
  if (list.every(isMicrophone)) return list.map(microphoneRow);
  if (list.every(isDelay)) return delayRows(list);
  return list as Row[];
}

const isMicrophone = (one: object): one is MicrophoneMatch => "correction" in one && "pass" in one;
const isDelay = (one: object): one is NamedDelay => "position" in one && "result" in one;

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

/** One row for each place where the mix engineer may stand, best first. */
const rankingRows = ({ positions }: ReferenceResult): Row[] =>
  positions.map((p) => ({
    rank: p.rank,
    position: p.id,
    "off by (dB)": p.score_db,
    "bass relative to the audience (dB)": p.bias_db,
    "dips of its own": p.notches.length,
  }));
