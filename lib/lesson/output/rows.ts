/** Results as the rows of a table, for `table` or `dataFrame`: what a lesson shows of them, with units in the headings. */
import type { OffsetResult } from "../../decision/offset/result";
import type { ReferenceResult } from "../../decision/reference/result";
import type { MicrophoneMatch } from "../../measurement/health/microphones";
import type { FoundDelay } from "../../study/measure";
import type { Row } from "./table";

/** One row for each microphone that was matched. */
export const microphoneRows = (microphones: readonly MicrophoneMatch[]): Row[] =>
  microphones.map((m) => ({
    channel: m.channel,
    "level (dB)": m.level,
    polarity: m.polarity,
    "phase (°)": m.phase,
    passes: m.pass,
    fault: m.faults.join("; ") || null,
  }));

/**
 * One row for each place: the strongest arrival and the next one.
 *
 * @param delays    from `measureShow`
 * @param sounding  which take; "mains" unless said
 */
export const delayRows = (delays: readonly FoundDelay[], sounding: FoundDelay["sounding"] = "mains"): Row[] =>
  delays
    .filter((d) => d.sounding === sounding)
    .map(({ position, result: { candidates } }) => ({
      position,
      "strongest (ms)": candidates[0].time * 1000,
      "next (ms)": candidates.length > 1 ? candidates[1].time * 1000 : null,
      "next is weaker by (dB)": candidates.length > 1 ? -candidates[1].strength : null,
    }));

/** One row for each who might decide alone, and one for all together. */
export const offsetRows = (result: OffsetResult): Row[] =>
  [{ who: "all together", offset_db: result.offset_db, audience: result.audience }, ...result.preferred].map(
    ({ who, offset_db, audience }) => ({
      "who decides": who,
      "subs (dB)": offset_db,
      "within 3 dB (of 100 people)": Math.round(audience.within3dB_fraction * 100),
      "deviation, rms (dB)": audience.rms_db,
    }),
  );

/** One row for each place where the mixer may stand, best first. */
export const rankingRows = ({ positions }: ReferenceResult): Row[] =>
  positions.map((p) => ({
    rank: p.rank,
    position: p.id,
    "off by (dB)": p.score_db,
    "bass against the audience (dB)": p.bias_db,
    "dips of its own": p.notches.length,
  }));
