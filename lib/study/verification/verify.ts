/** Whether the result that was predicted was reached once the setting had been entered. */
import { type Band, thirdOctaves } from "../../acoustics/bands/bands";
import { partOfResponse, type Response } from "../../acoustics/response";
import { interpolateResponse } from "../../measurement/transfer/interpolate";
import { normalQuantile } from "../../numeric/statistics";
import { mainsWithFills } from "../../survey/mains-with-fills";
import type { Survey } from "../../survey/survey";
import { LOW_BAND, MID_BAND } from "../level-with-error";
import { diagnose } from "./diagnose";
import type { Entered } from "./entered";
import type { AfterEntering, HeardAfter } from "./heard-after";
import { amountOf, type Evidence, evidenceAt, LOW } from "./misfit";
import { changed, type Played, playedAs } from "./played";
import { type LevelBesides, levelBesides } from "./predicted-level";
import { reasonsFor } from "./reasons";
import type { PredictedLevel, Verification, VerifiedPosition } from "./result";

/** In so many of a hundred verifications with nothing wrong all levels lie within their intervals. */
const ALL_WITHIN = 0.95;
/** A level that is known no better tells nothing, dB. */
const LEAST_KNOWN = 3;

/**
 * Holds what was recorded against what mains and subs let expect, and looks for the cause of what differs.
 *
 * @param survey   mains and subs as they were measured
 * @param after    what was recorded, in the order of the survey's positions
 * @param entered  what was changed in between
 * @param cabinets  of the subs
 */
export function verify(
  survey: Survey,
  after: AfterEntering,
  entered: Entered,
  cabinets: number,
): Verification {
  const played = playedAs(entered);
  const heard = survey.positions.map((_, i) => heardAt(survey, i, after.positions[i], played));
  const usable = heard.flatMap(({ evidence }) => (evidence ? [evidence] : []));
  const enough = usable.length >= 2 || usable.length === survey.positions.length;
  const { louder_db, causes, isExplained } =
    usable.length > 0 && enough
      ? diagnose(usable, entered, cabinets)
      : { louder_db: 0, causes: [], isExplained: true };
  const count = usable.length * (BANDS.length + 1);
  const within = normalQuantile(1 - (1 - ALL_WITHIN) / (2 * Math.max(1, count)));
  const positions = heard.map((one) => verified(one, played, louder_db, within));
  const told = positions.filter(({ state }) => state !== "cannot be said");
  const state =
    told.length < 2 && told.length < positions.length
      ? "cannot be said"
      : told.every((p) => p.state === "reached")
        ? "reached"
        : "not reached";
  const result = { entered, state, louder_db, positions, causes, warnings: after.warnings } as const;
  return { ...result, reasons: reasonsFor(result, isExplained) };
}

interface Heard {
  readonly position: string;
  readonly why?: string;
  readonly parts?: { readonly mains: Response; readonly subs: Response; readonly recorded: Response };
  readonly evidence?: Evidence;
}

function heardAt(survey: Survey, row: number, after: HeardAfter | undefined, played: Played): Heard {
  const position = survey.positions[row].id;
  if (!after?.response) return { position, why: after?.problem ?? "it was not recorded again" };
  const { later } = after;
  const mains = mainsWithFills(survey, row);
  const to = after.response.frequency[after.response.frequency.length - 1] * (1 + 1e-9);
  const n = survey.frequency.findIndex((f) => f > to);
  const cut = (r: Response) => (n < 0 ? r : partOfResponse(r, 0, n));
  const [m, s] = [cut(mains), cut(survey.subs[row])];
  const recorded = onto(after.response, m.frequency);
  const evidence = evidenceAt(position, m, s, recorded, played, later);
  const { low, mid } = amountOf(evidence);
  // A third of the low frequencies and of the bands above.
  const isTold = (m.magnitudeOnly || s.magnitudeOnly || low > 8) && mid > 3;
  const parts = { mains: m, subs: s, recorded };
  return isTold
    ? { position, parts, evidence }
    : { position, why: "its recording holds too little of the signal above the noise" };
}

function onto(response: Response, frequency: Float64Array): Response {
  const isSame = frequency.every((f, i) => response.frequency[i] === f);
  if (!isSame) return interpolateResponse(response, frequency, { tooCoarse: "doubt" });
  return partOfResponse(response, 0, frequency.length);
}

const BANDS = [...thirdOctaves(31.5, LOW.to), ...thirdOctaves(500, 2000)];
const [LOW_ONE, MID_ONE] = [LOW_BAND, MID_BAND].map(
  ([lower, upper]): Band => ({
    lower,
    upper,
    exact: Math.sqrt(lower * upper),
    nominal: Math.round(Math.sqrt(lower * upper)),
  }),
);

function verified(
  { position, why, parts, evidence }: Heard,
  played: Played,
  louder_db: number,
  within: number,
): VerifiedPosition {
  if (!parts || !evidence) return { position, state: "cannot be said", ...(why && { why }), thirds: [] };
  const mains = changed(parts.mains, played.mains);
  const subs = changed(parts.subs, played.subs);
  const at = (band: Band, isWide = false) => levelBesides(mains, subs, parts.recorded, band, isWide);
  const level = ({ predicted, recorded, error }: LevelBesides): PredictedLevel => {
    const interval_db = within * error;
    const recorded_db = recorded - louder_db;
    return {
      predicted_db: predicted,
      recorded_db,
      interval_db,
      reached: Math.abs(recorded_db - predicted) <= interval_db,
    };
  };
  const top = mains.frequency[mains.frequency.length - 1];
  const thirds = BANDS.filter(({ upper }) => upper <= top)
    .map((band) => ({ frequency_hz: band.nominal, ...level(at(band)) }))
    .filter(({ interval_db }) => interval_db < within * LEAST_KNOWN);
  const [low, mid] = [at(LOW_ONE, true), at(MID_ONE, true)];
  const balance = level({
    predicted: low.predicted - mid.predicted,
    recorded: low.recorded - mid.recorded + louder_db,
    error: Math.hypot(low.error, mid.error) / Math.SQRT2,
  });
  if (thirds.length < BANDS.length / 3)
    return { position, state: "cannot be said", why: "its levels are too uncertain", thirds: [] };
  const reached = balance.reached && thirds.every((band) => band.reached);
  return { position, state: reached ? "reached" : "not reached", balance, thirds };
}
