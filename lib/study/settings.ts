/** What a show wants of its decisions. */
import type { OffsetOptions } from "../decision/offset/result";
import type { Show } from "./read-show";

/** The show's settings as decisions want them. */
export function decisionSettings(show: Show): OffsetOptions {
  const { targetTilt, targetLevel, lowBand, midBand, headroom, coherenceLimit } = show.file.settings ?? {};
  return {
    ...(targetTilt !== undefined && { targetTilt }),
    ...(targetLevel !== undefined && { targetLevel }),
    ...(lowBand && { lowBand }),
    ...(midBand && { midBand }),
    ...(headroom !== undefined && { limits: { headroom } }),
    ...(coherenceLimit !== undefined && { coherenceLimit }),
  };
}
