/** The one answer of a show: decided for every seat from drawing and microphones together, and how sure it is. */
import { balance } from "../decision/balance/balance";
import { levelOffset } from "../decision/offset/offset";
import type { OffsetOptions } from "../decision/offset/result";
import { type Estimate, estimateSurvey } from "../estimate/estimate";
import { type Interval, intervalFrom } from "../estimate/interval";
import { joinSurveys, onFrequencies, partOfSurvey } from "../survey/part";
import type { Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";
import { type Findings, findings } from "./findings";

/** What is decided for all seats, with its 90 % intervals. */
export interface Answer extends Findings {
  readonly intervals: {
    readonly offset_db: Interval;
    /** Of the people, at the offset that is recommended. */
    readonly within3dB_fraction: Interval;
    /** Front over back, at that offset. */
    readonly frontToBack_db: Interval;
  };
  /** How many positions were heard. */
  readonly heard_count: number;
}

/** Seats by which it is told how sure it is: each draw of the estimate is a survey of all of them. */
const SEATS = 200;
const DRAWS = 40;

/**
 * @param audience  the model at every seat
 * @param zone  the model where the mix engineer may stand
 * @param heard  what microphones heard, and the model there
 */
export function answerOf(
  venue: Venue,
  audience: Survey,
  zone: Survey | undefined,
  heard: { readonly measured: Survey; readonly model: Survey } | undefined,
  settings: OffsetOptions,
): Answer {
  const microphones = new Set(heard?.measured.positions.map((p) => p.id));
  const elsewhere =
    zone &&
    partOfSurvey(
      zone,
      zone.positions.flatMap((p, i) => (microphones.has(p.id) ? [] : [i])),
    );
  const estimate = (...parts: readonly (Survey | undefined)[]): Estimate => {
    const all = [...parts, heard && nobodyAt(heard.model)].filter((s) => s && s.positions.length > 0);
    const places = (all as Survey[]).reduce(joinSurveys);
    const model = heard ? onFrequencies(places, heard.measured.frequency) : places;
    return estimateSurvey(model, {
      isRoom: venue.room !== undefined,
      ...(heard && { measured: heard.measured }),
    });
  };
  const { survey } = estimate(audience, elsewhere);
  const standing = survey.positions.flatMap((p, i) => (p.area === "front of house" ? [i] : []));
  const found = findings(
    partOfSurvey(survey, [...audience.positions.keys()]),
    standing.length > 0 ? partOfSurvey(survey, standing) : undefined,
    venue,
    settings,
  );
  const { offset_db, audience: people } = found.offset;
  const some = thinned(audience, Math.max(1, Math.ceil(audience.positions.length / SEATS)));
  const { draw } = estimate(some);
  const drawn = Array.from({ length: DRAWS }, (_, i) => {
    const survey = partOfSurvey(draw(i), [...some.positions.keys()]);
    const after = balance(survey, { ...settings, offset: offset_db }).audience;
    return { offset_db: levelOffset(survey, settings).offset_db, ...after };
  });
  return {
    ...found,
    intervals: {
      offset_db: intervalFrom(
        offset_db,
        drawn.map((d) => d.offset_db),
      ),
      within3dB_fraction: intervalFrom(
        people.within3dB_fraction,
        drawn.map((d) => d.within3dB_fraction),
      ),
      frontToBack_db: intervalFrom(
        people.frontToBack_db,
        drawn.map((d) => d.frontToBack_db),
      ),
    },
    heard_count: microphones.size,
  };
}

/** Every so many seats, each for the people of those left out as well. */
function thinned(survey: Survey, step: number): Survey {
  if (step === 1) return survey;
  const kept = partOfSurvey(
    survey,
    survey.positions.flatMap((_, i) => (i % step === Math.floor(step / 2) ? [i] : [])),
  );
  return { ...kept, positions: kept.positions.map((p) => ({ ...p, people: p.people * step })) };
}

const nobodyAt = (survey: Survey): Survey => ({
  ...survey,
  positions: survey.positions.map((p) => ({ ...p, people: 0 })),
});
