/**
 * A show from its folder to its answers: what was measured, what the model says of every seat, and what to do.
 */
import { type BalanceResult, balance } from "../decision/balance";
import { levelOffset } from "../decision/offset";
import type { OffsetOptions, OffsetResult } from "../decision/offset-result";
import { rankReferences } from "../decision/reference";
import type { ReferenceResult } from "../decision/reference-result";
import { type SpreadResult, spread } from "../decision/spread";
import { modelSurvey } from "../field/model-survey";
import type { Survey } from "../survey/survey";
import { frontOfHousePositions, seats } from "../venue/seats";
import type { Venue } from "../venue/venue";
import { measureShow, type ShowMeasurement } from "./measure";
import type { Show } from "./read-show";
import { standFor } from "./stand-for";

/** What one survey answers. */
export interface Findings {
  readonly survey: Survey;
  readonly spread: SpreadResult;
  /** With the subs as they were. */
  readonly balance: BalanceResult;
  readonly offset: OffsetResult;
  /** Places where the mixer may stand, best first; absent where the survey has none. */
  readonly places?: ReferenceResult;
}

export interface Study {
  readonly show: Show;
  readonly measurement: ShowMeasurement;
  /** From the microphones; absent where fewer than two places could be used. */
  readonly measured?: Findings;
  /** From the model, for every seat. */
  readonly model: Findings;
  /** The model at the microphones' places, to hold it against the measurement. */
  readonly modelAtMicrophones?: Survey;
}

export interface StudyOptions {
  /** About how many seats the model computes. */
  readonly seatCount?: number;
  /** Told what is being done. */
  readonly progress?: (step: string) => void;
}

/**
 * Studies a show.
 *
 * @param show  from `readShow`
 * @returns surveys and findings; what could not be used is in `measurement.problems`
 */
export function runStudy(show: Show, options: StudyOptions = {}): Study {
  const { seatCount = 2000, progress = () => {} } = options;
  const measurement = measureShow(show, progress);
  const settings = decisionSettings(show);
  progress(`model of about ${seatCount} seats`);
  const audience = modelSurvey(show.venue, seats(show.venue, { count: seatCount }));
  progress("model of the front-of-house zone");
  const zone = modelSurvey(show.venue, mixPlaces(show.venue));
  progress("decisions");
  const model = findings(audience, zone, show.venue, settings);
  const { survey } = measurement;
  if (!survey) return { show, measurement, model };
  const modelAtMicrophones = modelSurvey(show.venue, survey.positions);
  try {
    const heard = survey.positions.map((p) => p.area === "front of house");
    const zoneHeard = heard.some(Boolean) ? only(survey, heard) : undefined;
    const measured = findings(survey, zoneHeard, show.venue, settings);
    return { show, measurement, measured, model, modelAtMicrophones };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    // What the model says stands by itself: a measurement that can't be decided on must not take it away.
    const problems = [...measurement.problems, `no decision from the measurement: ${error.message}`];
    return { show, measurement: { ...measurement, problems }, model, modelAtMicrophones };
  }
}

/** The show's settings as decisions want them. */
export function decisionSettings(show: Show): OffsetOptions {
  const { targetTilt, lowBand, midBand, headroom } = show.file.settings ?? {};
  return {
    ...(targetTilt !== undefined && { targetTilt }),
    ...(lowBand && { lowBand }),
    ...(midBand && { midBand }),
    ...(headroom !== undefined && { limits: { headroom } }),
  };
}

function findings(survey: Survey, zone: Survey | undefined, venue: Venue, settings: OffsetOptions): Findings {
  const of = (group: "mains" | "subs") => venue.sources.filter((s) => s.group === group).map((s) => s.point);
  const offset = levelOffset(survey, settings);
  return {
    survey,
    spread: spread(survey, { ...settings, origins: { mains: of("mains"), subs: of("subs") } }),
    balance: balance(survey, settings),
    offset,
    ...(zone && { places: rankReferences(survey, zone, { ...settings, offset: offset.offset_db }) }),
  };
}

/** Where the mixer may stand: a grid over the zone, and the venue's named places within it. */
function mixPlaces(venue: Venue) {
  const named = standFor(venue, venue.places).filter((p) => p.area === "front of house");
  return [...named, ...frontOfHousePositions(venue)];
}

function only(survey: Survey, keep: readonly boolean[]): Survey {
  const pick = <T>(list: readonly T[]) => list.filter((_, i) => keep[i]);
  return {
    name: survey.name,
    quantity: survey.quantity,
    frequency: survey.frequency,
    positions: pick(survey.positions),
    mains: pick(survey.mains),
    subs: pick(survey.subs),
    ...(survey.fills && { fills: pick(survey.fills) }),
  };
}
