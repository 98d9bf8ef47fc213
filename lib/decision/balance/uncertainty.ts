/**
 * How sure the deviation at each position is, from the coherence and averages of the measured responses.
 */
import type { Band } from "../../acoustics/bands/bands";
import type { Response } from "../../acoustics/response";
import { responseError } from "../../acoustics/uncertainty";
import { type Complexes, complexes, delayFactor } from "../../numeric/complexes";
import { mainsWithFills } from "../../survey/mains-with-fills";
import type { Survey } from "../../survey/survey";
import { type BalanceOptions, withDefaults } from "./balance";
import { bandWeights, coveredThirdOctaves } from "./band-powers";

/**
 * Standard error of the deviation at each position, dB; undefined where no response carries coherence and averages.
 *
 * Within a third-octave band the errors of neighbouring frequencies are taken to go together, since traces are smoothed and
 * windows overlap; from one third octave to the next they are taken as independent. That errs to the safe side. A
 * response without coherence counts as exact.
 *
 * @param survey  a survey
 * @param options  as for `balance`
 * @param offset  of the subs, dB
 * @returns one standard error per position, dB, at most 20
 * @source Bendat and Piersol, Random Data, 4th ed. (2010), 9.2, carried to first order through the sum of squares
 */
export function deviationErrors(
  survey: Survey,
  options: BalanceOptions,
  offset: number,
): Float64Array | undefined {
  const known = (r: Response) => r.coherence !== undefined && r.averages !== undefined;
  if (![...survey.mains, ...survey.subs].some(known)) return undefined;
  const { lowBand, midBand, polarity, delay } = withDefaults(options);
  const low = coveredThirdOctaves(survey.frequency, lowBand[0], lowBand[1], "the low band");
  const mid = coveredThirdOctaves(survey.frequency, midBand[0], midBand[1], "the mid band");
  const gain = 10 ** (offset / 20);
  const factor = delayFactor(survey.frequency, delay, polarity * gain);
  const none = complexes(survey.frequency.length);
  return Float64Array.from(survey.positions, (_, i) => {
    const front = mainsWithFills(survey, i);
    const subs = survey.subs[i];
    const relative = Math.hypot(
      relativeError(front, subs, low, factor, gain),
      relativeError(front, subs, mid, none, 0),
    );
    const unseen = front.powerError && subs.powerError ? UNSEEN : 0;
    return Math.min(20, Math.hypot((10 / Math.LN10) * relative, unseen));
  });
}

/** Standard error of a band's power over the power itself, with a factor on the subs of this magnitude. */
function relativeError(
  mains: Response,
  subs: Response,
  thirds: readonly Band[],
  factor: Complexes,
  gain: number,
): number {
  const { frequency } = mains;
  let power = 0;
  let variance = 0;
  for (const third of thirds) {
    const { start, weight } = bandWeights(frequency, third);
    let error = 0;
    for (let k = 0; k < weight.length; k++) {
      const i = start + k;
      const [c, s] = [factor.re[i], factor.im[i]];
      if (mains.powerError && subs.powerError) {
        const [sum, square] = measuredPower(mains, subs, i, c, s, gain);
        power += weight[k] * sum;
        variance += weight[k] * weight[k] * square;
        continue;
      }
      const re = mains.re[i] + c * subs.re[i] - s * subs.im[i];
      const im = mains.im[i] + s * subs.re[i] + c * subs.im[i];
      const spread = Math.hypot(errorOf(mains, i), gain * errorOf(subs, i));
      power += weight[k] * (re * re + im * im);
      // d|z|² = 2 Re(z* dz); each part of dz has the standard error `spread`.
      error += weight[k] * 2 * Math.hypot(re, im) * spread;
    }
    variance += error * error;
  }
  return power > 0 ? Math.sqrt(variance) / power : 0;
}

/**
 * Power of the sum at a frequency, and its variance: of each power, of how they meet where both have phase, and of how they meet where
 * they have none, which by itself is as often one way as the other.
 */
export function measuredPower(
  mains: Response,
  subs: Response,
  i: number,
  c: number,
  s: number,
  gain: number,
): [power: number, variance: number] {
  const of = ({
    re,
    im,
    diffuse,
    powerError,
    wideError = powerError,
  }: Response): [number, number, number] => [
    re[i] * re[i] + im[i] * im[i],
    diffuse ? diffuse[i] : 0,
    wideError![i],
  ];
  const [front, frontLate, frontError] = of(mains);
  const g = gain * gain;
  const [back, backLate, backError] = of(subs);
  const re = mains.re[i] + c * subs.re[i] - s * subs.im[i];
  const im = mains.im[i] + s * subs.re[i] + c * subs.im[i];
  const relative = (error: number, whole: number) => (whole > 0 ? (error / whole) ** 2 : 0);
  const meeting =
    0.5 * g * front * back * (relative(frontError, front + frontLate) + relative(backError, back + backLate));
  const late = CELL * 2 * g * frontLate * backLate;
  return [
    re * re + im * im + frontLate + g * backLate,
    frontError * frontError + g * g * backError * backError + meeting + late,
  ];
}

/** What no average shows, dB: windows that leak, noise that is not quite as it was while nothing played. */
const UNSEEN = 0.05;

/** Frequencies of a measurement's grid that late reverberation makes alike. */
const CELL = 1.5;

function errorOf(response: Response, i: number): number {
  const { coherence, averages } = response;
  if (!coherence || !averages || !(averages[i] > 0)) return 0;
  const limited = Math.min(1, Math.max(1e-4, coherence[i]));
  return Math.hypot(response.re[i], response.im[i]) * responseError(limited, averages[i]);
}
