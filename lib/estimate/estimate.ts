/** The survey of every seat, given what was heard: from a model and from any number of measured positions. */
import { power, type Response } from "../acoustics/response";
import { delayFactor, multiply, product } from "../numeric/complexes";
import { normal as normalOf } from "../numeric/random";
import { mainsWithFills } from "../survey/mains-with-fills";
import type { Survey } from "../survey/survey";
import { type BandGains, bandGains } from "./band-gains";
import { DELAY_ERROR, FIELD_BELOW, leftShare, PLACE_ERROR } from "./discrepancy";
import { type Interval, intervalOf } from "./interval";
import { missingField } from "./missing-field";
import { type MissingSquare, missingSquare } from "./missing-square";
import { placeLevels } from "./place-levels";
import { strayOf } from "./stray";
import { asDrawn, type PlayedSubs, subsAsPlayed, withPlayedSubs } from "./subs-as-played";
import { type Heard, toModelTime } from "./to-model-time";

/** What is known of every position of a survey: an answer, and surveys that may as well be true. */
export interface Estimate {
  /** The likeliest survey; what is uncertain of it is in its diffuse part, as power without a phase. */
  readonly survey: Survey;
  /** How the microphones heard the subs relative to the model, of which the estimate has made use. */
  readonly subs: PlayedSubs;
  /** A survey that may be true: each number gives another, all alike likely. */
  readonly draw: (number: number) => Survey;
  /**
   * A number that follows from a survey, such as an offset that suits it or the people within 3 dB, with its 90 % interval over `draws`
   * (10 to 1000, default 60).
   */
  readonly interval: (of: (survey: Survey) => number, options?: { readonly draws?: number }) => Interval;
}

export interface EstimateOptions {
  /** What microphones heard at some of the model's positions, by their names, on the model's frequencies. */
  readonly measured?: Survey;
  /** Whether the venue is a room. Default true; in the open less is missing, which nobody has checked. */
  readonly isRoom?: boolean;
}

const groups = ["mains", "subs"] as const;

/**
 * Estimates what every position hears from a model and from microphones at some of them, and how sure that is.
 *
 * A drawing is a little wrong, so a room has a field that its model lacks: like random waves, alike only within a part of a wavelength.
 * At a microphone the estimate is what was heard; far from all it is the model with the groups' levels that the microphones
 * tell, and uncertain. Where the microphones agree that the subs played in another polarity or later than drawn, by more than
 * chance and a few milliseconds, all positions have them so.
 *
 * @param model  the survey of a model: of seats and of all measured positions
 * @param options  what was measured, and whether there is a room
 * @returns the likeliest survey, in which fills are part of the mains, and draws of it, in the quantity of what was measured
 * @throws RangeError when a measured position is none of the model's, or frequencies differ
 * @source Gaussian processes conditioned on what was heard, after Caviedes-Nozal et al., J. Acoust. Soc. Am. 149 (2021) (from memory);
 *   check: tests/estimate/estimate.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const model = predict.survey(hall, venues.seats(hall, { count: 12 }), { lowBand: "paths" });
 * const estimate = predict.estimate(model);
 * const { value, lower, upper } = estimate.interval((survey) => decide.offset(survey).offset_db, { draws: 20 });
 * lower < value && value < upper // true
 */
export function estimateSurvey(model: Survey, options: EstimateOptions = {}): Estimate {
  const { measured, isRoom = true } = options;
  return estimateOf(fillsInMains(model), measured && fillsInMains(measured), isRoom);
}

/** Whoever measures the mains hears the fills with them. */
function fillsInMains(survey: Survey): Survey {
  if (!survey.fills) return survey;
  const { fills: _fills, ...rest } = survey;
  return { ...rest, mains: survey.mains.map((_, i) => mainsWithFills(survey, i)) };
}

function estimateOf(drawn: Survey, measured: Survey | undefined, isRoom: boolean): Estimate {
  const { frequency, positions } = drawn;
  const at = placesOf(drawn, measured);
  const subs = measured ? subsAsPlayed(drawn, measured, at) : asDrawn;
  const model = withPlayedSubs(drawn, subs);
  const heard = measured
    ? toModelTime(model, measured, at).map(({ mains, subs }) => ({
        mains: asWaves(mains),
        subs: asWaves(subs),
      }))
    : [];
  const points = positions.map((p) => p.point);
  const quantity = measured?.quantity ?? model.quantity;
  const missing = groups.map((g) => missingSquare(model[g], points, isRoom));
  const gains = bandGains(model, missing, heard, at, quantity !== model.quantity, isRoom);
  const phased = heard.every((h) => groups.every((g) => !h[g].magnitudeOnly)) ? at : [];
  const stray = strayIn(model, missing, gains, heard, phased, isRoom);
  const field = missingField(frequency, FIELD_BELOW, points, phased);
  const heardLevels = groups.map((g) => heard.map((h) => highLevel(h[g])));
  const levels = { low: placeLevels(points, []), high: placeLevels(points, at) };

  const survey = (drawn: Float64Array, delay: number, normal?: () => number): Survey => {
    const group = (g: 0 | 1, alike?: Float64Array): Group => {
      const gain = gains.on(drawn, g);
      const own = louder(model[groups[g]], gain, g === 1 ? delay : 0);
      const theirs = heard.map((h) => h[groups[g]]);
      const more = heardLevels[g].map((db, a) => db - highLevel(own[at[a]]));
      const high = levels.high(
        more.map((db) => db / PLACE_ERROR.high),
        normal,
      );
      const free = normal && levels.low([], normal);
      const low = lowLevels(alike ?? high, free);
      scaleAt(own, low, high);
      const square: MissingSquare = (i, n, stray) =>
        10 ** ((gain[n] + low[i]) / 10) * missing[g](i, n, stray);
      completed(own, square, theirs, normal);
      return { own, high };
    };
    const { own: mains, high } = group(0);
    const { own: subs } = group(1, high);
    return { ...model, name: `estimate of ${model.name}`, quantity, mains, subs };
  };

  /** Puts another field in the place of a part of each response. */
  const completed = (
    own: Response[],
    square: MissingSquare,
    theirs: readonly Response[],
    normal?: () => number,
  ): void => {
    const fresh = field.fresh(normal);
    field.indices.forEach((n, k) => {
      const left = Math.sqrt(leftShare(frequency[n], isRoom, stray));
      const size = own.map((_, i) => Math.sqrt(square(i, n, stray)) + 1e-30);
      const part = (name: "re" | "im") =>
        Float64Array.from(phased, (i, a) => (theirs[a][name][n] - left * own[i][name][n]) / size[i]);
      const { re, im } = fresh(k, { re: part("re"), im: part("im") });
      own.forEach((r, i) => {
        r.re[n] = left * r.re[n] + size[i] * re[i];
        r.im[n] = left * r.im[n] + size[i] * im[i];
        if (r.diffuse) r.diffuse[n] = normal ? 0 : size[i] ** 2 * field.unknown[k][i];
      });
    });
  };

  const likeliest = survey(gains.mean, 0);
  const draw = (number: number): Survey => {
    const normal = normalOf(number + 1);
    const drawn = gains.draw(normal);
    return survey(drawn, (DELAY_ERROR / Math.sqrt(1 + heard.length)) * normal(), normal);
  };
  return {
    survey: likeliest,
    subs,
    draw,
    interval: (of, { draws = 60 } = {}) => intervalOf(likeliest, draw, of, draws),
  };
}

/** A group at all places, and how its levels there stray above the missing field, as `placeLevels` gives them. */
interface Group {
  readonly own: Response[];
  readonly high: Float64Array;
}

/** Levels at places below, dB: in part those of the mains above, in part their own, which are nought where nothing is drawn. */
function lowLevels(high: Float64Array, free: Float64Array | undefined): Float64Array {
  const { low, correlation } = PLACE_ERROR;
  const apart = Math.sqrt(1 - correlation ** 2);
  return high.map((x, i) => low * (correlation * x + apart * (free?.[i] ?? 0)));
}

/** How far the room strays by what microphones with phases heard, where there are any. */
function strayIn(
  model: Survey,
  missing: readonly MissingSquare[],
  gains: BandGains,
  heard: readonly Heard[],
  phased: readonly number[],
  isRoom: boolean,
): number {
  if (phased.length === 0) return 1;
  const levels = ([0, 1] as const).map((g) => gains.on(gains.mean, g));
  return strayOf(
    groups.map((name, g) => louder(model[name], levels[g], 0)),
    missing.map((square, g) => (i, n, stray) => 10 ** (levels[g][n] / 10) * square(i, n, stray)),
    heard,
    phased,
    isRoom,
  );
}

/** The numbers of measured positions in the model. */
function placesOf(model: Survey, measured?: Survey): number[] {
  if (!measured) return [];
  const same =
    measured.frequency.length === model.frequency.length &&
    measured.frequency.every((f, n) => Math.abs(f / model.frequency[n] - 1) < 1e-6);
  if (!same)
    throw new RangeError(
      "model and measurement stand on different frequencies: predict the model with `frequency: measured.frequency`",
    );
  return measured.positions.map(({ id }) => {
    const i = model.positions.findIndex((p) => p.id === id);
    if (i < 0)
      throw new RangeError(`"${id}" was measured and is no position of the model: predict it as well`);
    return i;
  });
}

/**
 * Where a room is computed by waves all its sound has a phase. What a microphone heard as reverberation there goes with the phase of
 * the rest: its power is right, and where mains and subs meet it counts as sound that they have in common.
 */
function asWaves(response: Response): Response {
  const { frequency, diffuse, magnitudeOnly } = response;
  if (!diffuse || magnitudeOnly) return response;
  const [re, im, left] = [response.re.slice(), response.im.slice(), diffuse.slice()];
  frequency.forEach((f, n) => {
    const coherent = re[n] ** 2 + im[n] ** 2;
    if (f >= FIELD_BELOW || !(coherent > 0)) return;
    const more = Math.sqrt(1 + diffuse[n] / coherent);
    re[n] *= more;
    im[n] *= more;
    left[n] = 0;
  });
  return { ...response, re, im, diffuse: left };
}

/** Responses louder by levels, dB at each frequency, and later, seconds; their own to change. */
function louder(responses: readonly Response[], levels: Float64Array, delay: number): Response[] {
  const { frequency } = responses[0];
  const gain = levels.map((db) => 10 ** (db / 20));
  const factor = delayFactor(frequency, delay);
  multiply(factor, { re: gain, im: new Float64Array(frequency.length) });
  return responses.map((r) => ({
    frequency,
    ...product(r, factor),
    diffuse: r.diffuse?.map((d, n) => gain[n] ** 2 * d) ?? new Float64Array(frequency.length),
  }));
}

/** Scales responses place by place, dB below and above the missing field. */
function scaleAt(responses: Response[], low: Float64Array, high: Float64Array): void {
  responses.forEach(({ frequency, re, im, diffuse }, i) => {
    const below = 10 ** (low[i] / 20);
    const above = 10 ** ((PLACE_ERROR.high * high[i]) / 20);
    frequency.forEach((f, n) => {
      const factor = f < FIELD_BELOW ? below : above;
      re[n] *= factor;
      im[n] *= factor;
      if (diffuse) diffuse[n] *= factor * factor;
    });
  });
}

/** Level of a response well above the missing field, dB re 1 of its unit. */
function highLevel(response: Response): number {
  const all = power(response);
  const sum = response.frequency.reduce((s, f, n) => s + (f > 2 * FIELD_BELOW && f < 4000 ? all[n] : 0), 0);
  return 10 * Math.log10(sum + 1e-300);
}
