/** What an audience gets at a setting of the subs. */
import { prepareBalance } from "../../../decision/balance/balance";
import type { Criterion } from "../../../decision/offset/criterion";
import { levelOffset } from "../../../decision/offset/offset";
import { modelSurvey } from "../../../field/model-survey";
import type { Survey } from "../../../survey/survey";
import type { NamedPoint, Venue } from "../../../venue/venue";
import { audienceOf } from "../audience-of";
import { withSubs } from "./faults";

/** Deviation of the audience over the level of the subs, dB: its rms, or the worst. */
export function lossOver(
  audience: Survey,
  setting: { readonly polarity?: 1 | -1; readonly delay?: number } = {},
  criterion: Criterion = "least mean square",
): (offset_db: number) => number {
  const prepared = prepareBalance(audience, setting);
  return (offset) => {
    const { rms_db, worst_db } = prepared.evaluate(offset).audience;
    return criterion === "least worst" ? worst_db : rms_db;
  };
}

/** Fraction of the people within 3 dB of the target over the level of the subs, dB. */
export function servedOver(
  audience: Survey,
  setting: { readonly polarity?: 1 | -1; readonly delay?: number } = {},
): (offset_db: number) => number {
  const prepared = prepareBalance(audience, setting);
  return (offset) => prepared.evaluate(offset).audience.within3dB_fraction;
}

/** Who counts as served by a level. */
export const NEAR_TARGET = "within 3 dB of the target balance";

/** The level that one place would ask for by itself. */
export function wantedAt(truth: Venue, place: NamedPoint, frequency: Float64Array): number {
  const position = { id: place.id, point: place.point, area: "one place", people: 1 };
  return levelOffset(modelSurvey(truth, [position], { frequency })).offset_db;
}

/** A venue with its subs at the level that suits its audience, to a tenth of a decibel. */
export function settled(venue: Venue, criterion: Criterion = "least mean square"): Venue {
  const { offset_db } = levelOffset(audienceOf(venue, 40), { criterion });
  return withSubs(venue, { gain: Math.round(offset_db * 10) / 10 });
}

/** The venue's own mix position, else the middle of the zone where the mix engineer may stand. */
export function mixPosition(venue: Venue): NamedPoint {
  const named = venue.positions.find((p) => p.id === "mix position");
  if (named) return named;
  const { corners, earHeight } = venue.frontOfHouse;
  const mean = (pick: (c: (typeof corners)[number]) => number) =>
    corners.reduce((s, c) => s + pick(c), 0) / corners.length;
  return {
    id: "mix position",
    point: { x: mean((c) => c.x), y: mean((c) => c.y), z: mean((c) => c.z) + earHeight },
  };
}
