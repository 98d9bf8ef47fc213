/**
 * Whether mains and subs together are the sum of the two, and if not, what has likely changed between the recordings.
 *
 * The three are measured one after the other. Between them a microphone gets kicked, a limiter holds, somebody changes a delay or
 * a polarity. The sum shows it: residual against the error that coherence and averages allow.
 */
import { type Response, sumResponses } from "../../acoustics/response";
import { responseError } from "../../acoustics/uncertainty";
import { logWidths } from "../transfer/log-width";
import { explainSum, type SumFault } from "./sum-fault";

export interface SumCheckOptions {
  /** Deviation allowed besides the error of measurement, as a fraction of |mains| + |subs|. Default 0.05, about 0.4 dB. */
  readonly tolerance?: number;
  /** Fraction of the frequencies that may lie outside their 95 % band before the sum is doubted, 0…1. Default 0.15. */
  readonly outsideAllowed?: number;
  /** Number of averages assumed where a response has coherence but doesn't say how many there were. Default 16. */
  readonly assumedAverages?: number;
}

export interface SumCheck {
  /** Id of the position. */
  readonly position: string;
  /** Undefined where it can't be told, for want of phase or of coherence. */
  readonly agrees: boolean | undefined;
  /** Fraction of the frequencies, on a log axis, that lie outside their 95 % band, 0…1. */
  readonly outside: number;
  /** Root mean square of the residual relative to |mains| + |subs|, a ratio. */
  readonly residual: number;
  /** What would bring the sum into agreement, where it does not agree. */
  readonly fault?: SumFault;
  /** One sentence. */
  readonly message: string;
}

/**
 * Compares both with the complex sum of mains and subs.
 *
 * For a residual of complex Gaussian error with mean square σ², 95 % lie within √(−ln 0.05) σ.
 *
 * @param position  name for the message
 * @param mains     everything but the subs that plays in both, one or more responses
 * @param subs      on the same frequencies
 * @param both      on the same frequencies
 * @param options   tolerances
 * @throws RangeError when frequencies differ
 * @source Bendat and Piersol, Random Data, chapter 9, for the error of each response; the tolerances are our choice
 */
export function checkSum(
  position: string,
  mains: readonly Response[],
  subs: Response,
  both: Response,
  { tolerance = 0.05, outsideAllowed = 0.15, assumedAverages = 16 }: SumCheckOptions = {},
): SumCheck {
  if ([...mains, subs, both].some((response) => response.magnitudeOnly)) {
    return untold(position, "not all have phase; measure with phase to check it");
  }
  const whole = mains.slice(1).reduce((sum, response) => sumResponses(sum, response), mains[0]);
  const expected = sumResponses(whole, subs);
  const error = [...mains, subs, both].map((response) => meanSquareError(response, assumedAverages));
  const n = expected.frequency.length;
  const allowed = new Float64Array(n);
  const weight = new Float64Array(n);
  const width = logWidths(expected.frequency);
  let outside = 0;
  let square = 0;
  let total = 0;
  for (let i = 0; i < n; i++) {
    const size = Math.hypot(whole.re[i], whole.im[i]) + Math.hypot(subs.re[i], subs.im[i]);
    const variance = error.reduce((sum, e) => sum + e[i], 0);
    allowed[i] = variance + (tolerance * size) ** 2;
    // Where the error of measurement is as large as the sound, nothing can be told.
    if (!(size > 0) || variance > (0.5 * size) ** 2) continue;
    weight[i] = width[i];
    const r2 = (both.re[i] - expected.re[i]) ** 2 + (both.im[i] - expected.im[i]) ** 2;
    if (r2 > band95 * allowed[i]) outside += weight[i];
    square += (weight[i] * r2) / size ** 2;
    total += weight[i];
  }
  if (!(total > 0.1 * width.reduce((a, b) => a + b))) {
    return untold(position, "too little of it is coherent enough, for noise or reverberation");
  }
  const fraction = outside / total;
  const residual = Math.sqrt(square / total);
  const agrees = fraction <= outsideAllowed;
  if (agrees) {
    const message = `position "${position}": mains and subs together are the sum of the two within the error`;
    return { position, agrees, outside: fraction, residual, message };
  }
  const fault = explainSum({
    frequency: expected.frequency,
    mains: whole,
    subs,
    both,
    allowed,
    weight: weight.map((w) => w / total),
  });
  return {
    position,
    agrees,
    outside: fraction,
    residual,
    fault,
    message: `position "${position}": mains and subs together are not the sum of the two at ${(100 * fraction).toFixed(0)} % of the frequencies; ${fault.message}`,
  };
}

const band95 = -Math.log(0.05);

function untold(position: string, why: string): SumCheck {
  const message = `position "${position}": whether mains and subs add up can't be told, ${why}`;
  return { position, agrees: undefined, outside: 0, residual: 0, message };
}

/** Mean square of the complex error: both its parts have the relative standard error of the magnitude. */
export function meanSquareError(
  { re, im, coherence, averages }: Response,
  assumedAverages: number,
): Float64Array {
  return re.map((x, i) => {
    if (!coherence) return 0;
    const n = averages && averages[i] > 0 ? averages[i] : assumedAverages;
    const size2 = x * x + im[i] * im[i];
    return coherence[i] > 0 ? 2 * size2 * responseError(coherence[i], n) ** 2 : Infinity;
  });
}
