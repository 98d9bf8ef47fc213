/** The level offset in sentences that lessons and reports print. */

import type { Survey } from "../../survey/survey";
import { inDecibels, percent, signedDecibels } from "../../text/decibels";
import { listed } from "../../text/listed";
import type { FrontRow } from "./limits";
import type { OffsetResult } from "./result";
import { headroomReason, targetLevelReason } from "./target-level";

/** Sentences that say what was decided, why, what it costs and how sure it is. */
export function offsetReasons(result: Omit<OffsetResult, "reasons">, survey: Survey): string[] {
  const { audience, flat_db, limits, interval, residual } = result;
  const reasons = [
    `Recommended: the subs ${loudness(result.offset_db)}. This leaves ${meaning[result.criterion]} of ${inDecibels(result.cost_db)} from the target of ${result.targetTilt_db} dB, with ${percent(audience.within3dB_fraction)} of the people within 3 dB and ${percent(audience.within6dB_fraction)} within 6 dB.`,
    `Anything from ${signedDecibels(flat_db[0])} to ${signedDecibels(flat_db[1])} costs at most half a decibel more.`,
    audience.frontToBack_db > 0.5
      ? `The front row still has ${inDecibels(audience.frontToBack_db)} more bass relative to the mains than the back row; no offset changes that.`
      : audience.frontToBack_db < -0.5
        ? `The back row has ${inDecibels(-audience.frontToBack_db)} more bass relative to the mains than the front row; no offset changes that.`
        : "Front row and back row have the same balance within half a decibel.",
  ];
  for (const preferred of result.preferred) {
    if (preferred.loss_db < 0.05) continue;
    reasons.push(
      `The ${preferred.who} alone would need ${signedDecibels(preferred.offset_db)}, which costs the audience ${inDecibels(preferred.loss_db)} more and leaves ${percent(preferred.audience.within3dB_fraction)} within 3 dB.`,
    );
  }
  if (result.limited) {
    const free = result.choices.find((c) => c.criterion === result.criterion);
    reasons.push(
      `The limit is ${limits.binding}; the audience alone would need ${signedDecibels(free?.offset_db ?? 0)}.`,
    );
  }
  for (const why of limits.beyond) {
    reasons.push(
      `The mains alone exceed the limit of ${why}: lower the whole system, the level of the subs can't correct it.`,
    );
  }
  if (result.atEndOfRange) {
    reasons.push(
      "The best lies at the end of the range searched: the level of the subs alone can't reach the target balance.",
    );
  }
  if (result.frontRow) reasons.push(frontRowReason(result.frontRow));
  const { headroomLeft_db: left, offset_db } = result;
  const headroom = headroomReason(offset_db, left === null ? undefined : left + offset_db);
  if (headroom) reasons.push(headroom);
  const worst = residual.spread_db.indexOf(Math.max(...residual.spread_db));
  reasons.push(
    `What is left differs most from seat to seat around ${residual.thirdOctaves_hz[worst]} Hz (${inDecibels(residual.spread_db[worst])} standard deviation); what is the same for all, an equaliser may take out.`,
  );
  reasons.push(targetLevelReason(result.targetLevel_db));
  if (interval) {
    reasons.push(
      `Noise in the measurement leaves the offset between ${signedDecibels(interval.from_db)} and ${signedDecibels(interval.to_db)} (${percent(interval.confidence_fraction)} confidence); how well the positions stand for the other seats is not in this.`,
    );
  } else if (survey.quantity === "ratio" && survey.mains.some((r) => r.coherence)) {
    reasons.push(
      "The number of averages is not known, so the noise of the measurement could not be carried through.",
    );
  }
  const blind = survey.positions.filter(
    (_, i) => survey.mains[i].magnitudeOnly || survey.subs[i].magnitudeOnly,
  );
  if (blind.length > 0) {
    reasons.push(
      `No phase at ${listed(blind.map((p) => p.id))}: mains and subs are added by power there, so the crossover is not judged.`,
    );
  }
  return reasons;
}

/** What the front row gets, for who does not see it elsewhere. */
export function frontRowReason(frontRow: FrontRow): string {
  const { levelA_db, levelC_db, criterion } = frontRow;
  return `With this offset, at the level judged here, the front row gets ${levelA_db.toFixed(0)} dB(A) and ${levelC_db.toFixed(0)} dB(C), which a day's dose allows for ${allowedWords(frontRow)} (${criterion}). This is for orientation: protect hearing, local law rules.`;
}

/** "6 minutes": how long a day's dose allows the level at the front row. */
export function allowedWords({ allowed_h }: Pick<FrontRow, "allowed_h">): string {
  if (allowed_h >= 8) return "a whole working day";
  if (allowed_h >= 1) return `${allowed_h.toFixed(1)} hours`;
  return `${Math.max(1, Math.round(60 * allowed_h))} minutes`;
}

const meaning = {
  "least mean": "a mean deviation",
  "least mean square": "a root mean square deviation",
  "least worst": "a largest deviation",
};

function loudness(offset: number): string {
  if (Math.abs(offset) < 0.05) return "at their current level";
  return `${inDecibels(Math.abs(offset))} ${offset > 0 ? "above" : "below"} their current level`;
}
