/** The one answer of a show: decided for every seat from drawing and microphones together, and how sure it is. */
import type { AlignmentResult } from "../decision/alignment/result";
import { audienceAt, levelOffset, offsetWithPowers } from "../decision/offset/offset";
import type { OffsetOptions, OffsetResult } from "../decision/offset/result";
import { type Estimate, estimateSurvey } from "../estimate/estimate";
import { type Interval, intervalFrom } from "../estimate/interval";
import { joinSurveys, onFrequencies, partOfSurvey } from "../survey/part";
import type { Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";
import { alignmentAt, type Findings, findingsAsSet, hasPhases } from "./findings";
import { inPascals } from "./pascals";

/** What is decided for all seats, with its 90 % intervals. */
export interface ShowAnswer extends Findings {
  /** What to change of the subs beside their level; everything here holds with it. */
  readonly setting: SubsSetting;
  /** The level that costs the people least over all that may be true, with what they may expect; maps show the likeliest survey, which is smoother than any room. */
  readonly offset: OffsetResult;
  readonly intervals: {
    readonly offset_db: Interval;
    /** Of the people, at the offset that is recommended. */
    readonly within3dB_fraction: Interval;
    /** Front over back, at that offset. */
    readonly frontToBack_db: Interval;
  };
  /** How many positions were heard. */
  readonly heard_count: number;
  /** How the subs played relative to the venue file. */
  readonly played: SubsSetting;
}

/** A change of the subs from how they were. */
export interface SubsSetting {
  /** −1 inverts them. */
  readonly polarity: 1 | -1;
  /** Positive is later; a negative one is a delay of the mains. */
  readonly delay_ms: number;
}

/** What microphones heard. */
export interface HeardShow {
  /** As ratios of what was sent. */
  readonly measured: Survey;
  /** The model at the same positions. */
  readonly model: Survey;
  /** Pascals for a ratio of 1, where a calibrator tells. */
  readonly pascalsPerRatio?: number;
}

/** Seats by which it is told how sure it is: each draw of the estimate is a survey of all of them. */
const SEATS = 200;
const DRAWS = 40;

/**
 * @param audience  the model at every seat
 * @param zone  the model where the mix engineer may stand
 * @param heard  absent where nothing was measured
 */
export function answerOf(
  venue: Venue,
  audience: Survey,
  zone: Survey | undefined,
  heard: HeardShow | undefined,
  settings: OffsetOptions,
): ShowAnswer {
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
  const absolute = (survey: Survey): Survey =>
    heard?.pascalsPerRatio ? inPascals(survey, heard.pascalsPerRatio) : survey;
  const whole = estimate(audience, elsewhere);
  const survey = absolute(whole.survey);
  const people = partOfSurvey(survey, [...audience.positions.keys()]);
  const standing = survey.positions.flatMap((p, i) => (p.area === "front of house" ? [i] : []));
  const mixing = standing.length > 0 ? partOfSurvey(survey, standing) : undefined;
  const alignment = toldOnTheDay(heard)
    ? alignmentAt(people, levelOffset(people, settings).offset_db, settings)
    : undefined;
  const setting = microphones.size >= FOR_PHASE ? settingOf(alignment) : unchanged;
  const withSetting = { ...settings, ...subsOptions(setting) };

  const some = thinned(audience);
  const { draw } = estimate(some);
  const drawn = Array.from({ length: DRAWS }, (_, i) => {
    const survey = absolute(partOfSurvey(draw(i), [...some.positions.keys()]));
    return offsetWithPowers(survey, withSetting);
  });
  const found = findingsAsSet(
    people,
    mixing,
    venue,
    withSetting,
    drawn.map((d) => d.listeners),
  );
  const { offset_db, audience: after } = found.offset;
  const audiences = drawn.map((d) => audienceAt(d.listeners, offset_db));
  /** Of the draws, and with the answer in it. */
  const interval = (value: number, draws: readonly number[]): Interval => {
    const { lower, upper } = intervalFrom(value, draws);
    return { value, lower: Math.min(value, lower), upper: Math.max(value, upper) };
  };
  return {
    ...found,
    ...(alignment && { alignment }),
    setting,
    intervals: {
      offset_db: interval(
        offset_db,
        drawn.map((d) => d.result.offset_db),
      ),
      within3dB_fraction: interval(
        after.within3dB_fraction,
        audiences.map((a) => a.within3dB_fraction),
      ),
      frontToBack_db: interval(
        after.frontToBack_db,
        audiences.map((a) => a.frontToBack_db),
      ),
    },
    heard_count: microphones.size,
    played: { polarity: whole.subs.polarity, delay_ms: 1000 * whole.subs.delay },
  };
}

/** A setting as decisions take it, seconds. */
export const subsOptions = ({ polarity, delay_ms }: SubsSetting) => ({ polarity, delay: delay_ms / 1000 });

const unchanged: SubsSetting = { polarity: 1, delay_ms: 0 };

/**
 * Microphones from which on a change of polarity and delay is no guess: in halls of another library changes that rested on the drawing
 * alone cost as often as they gained, and those with two microphones gained 50 times of 54 (tests/README.md).
 */
export const FOR_PHASE = 2;

/** What a change of polarity and delay must gain through the crossover before anyone should enter it, dB. */
export const WORTH_ENTERING = 0.5;

function settingOf(alignment: AlignmentResult | undefined): SubsSetting {
  if (!alignment) return unchanged;
  const { choices, current } = alignment;
  const [{ polarity, delay_ms, loss_db }] = choices;
  if (current.loss_db - loss_db <= WORTH_ENTERING) return unchanged;
  // As it is printed and entered; the sum turns −0 into 0.
  return { polarity, delay_ms: Math.round(100 * delay_ms) / 100 + 0 };
}

/** Microphones without phases say that nobody knows them on the day: those of the drawing decide nothing then. */
const toldOnTheDay = (heard: HeardShow | undefined): boolean => !heard || hasPhases(heard.measured);

/** At most so many seats, each for the people of those left out as well. */
export function thinned(survey: Survey): Survey {
  const step = Math.max(1, Math.ceil(survey.positions.length / SEATS));
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
