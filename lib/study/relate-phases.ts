/** The subs' phase relative to the mains: known, recovered from the take of both, or given up. */
import type { Response } from "../acoustics/response";
import { later } from "../acoustics/response";
import { listed } from "../text/listed";
import { timeFromSum } from "./common-time";
import type { HeardPart } from "./points-around";

/** Whether subs keep their phase to the mains; "roughly" within some milliseconds. */
export type InTime = boolean | "roughly";

/**
 * Sets right, or takes away, the phase of subs that share no time base with the mains; says which.
 *
 * @param responses  by position and what played; subs are replaced
 * @param inTime     by position
 * @param warnings   is added to
 * @returns positions whose subs have lost their phase
 */
export function relatePhases(
  responses: ReadonlyMap<string, Map<HeardPart, Response>>,
  inTime: ReadonlyMap<string, InTime>,
  warnings: string[],
): readonly string[] {
  const apart = [...responses].flatMap(([position, parts]) => {
    const [mains, subs, both] = [parts.get("mains"), parts.get("subs"), parts.get("both")];
    const known = inTime.get(position) ?? false;
    if (!mains || !subs || known === true || mains.magnitudeOnly || subs.magnitudeOnly) return [];
    return [{ position, parts, known, mains, subs, both }];
  });
  if (apart.length === 0) return [];
  const complete = apart.flatMap(({ known, mains, subs, both }) =>
    known === "roughly" && both && both.frequency.length === subs.frequency.length
      ? [{ mains, subs, both }]
      : [],
  );
  const shift = timeFromSum(complete);
  const refused: string[] = [];
  for (const { position, parts, known, subs } of apart) {
    if (known === "roughly" && shift !== undefined) parts.set("subs", later(subs, shift));
    else {
      refused.push(position);
      parts.set("subs", withoutPhase(subs));
    }
  }
  if (refused.length < apart.length) {
    warnings.push(
      "mains and subs were recorded by devices that were started anew for each take: how their times lie was found from the take of both",
    );
  }
  if (refused.length > 0) {
    warnings.push(
      `mains and subs share no time base at ${listed(refused)}: they add by power there, and neither delay nor polarity of the subs can be told; record the reference on a channel beside the microphones, add a take of both, or say "sameRecorder": true where the reference is a track of the same recorder`,
    );
  }
  return refused;
}

/** What is left of a response whose phase says nothing. */
function withoutPhase(response: Response): Response {
  return {
    ...response,
    re: response.re.map((x, i) => Math.hypot(x, response.im[i])),
    im: new Float64Array(response.im.length),
    magnitudeOnly: true,
  };
}
