/**
 * A response carried over onto other frequencies.
 *
 * Complex values are interpolated over log frequency by a cubic through the neighbours, after the bulk of the delay was
 * taken out, since a late response turns too fast between points; the delay is then put back. Where only the magnitude is
 * known, that is interpolated in a straight line. Nothing is guessed: outside the measured frequencies, and where
 * points lie too far apart to tell how the response runs between them, it refuses.
 */
import type { Response } from "../../acoustics/response";
import { bulkDelay, delayed } from "../delay/bulk";

export interface InterpolationOptions {
  /**
   * Seconds taken out before and put back after; "found" (default) lets neighbouring points decide. On equal steps of frequency they
   * can tell a delay only below 0.5 / step: give a longer one.
   */
  readonly delay?: number | "found";
  /** Widest step between measured points, octaves. Default 0.4. */
  readonly maximumStep?: number;
  /** Largest turn of phase between measured points once the delay is out, degrees. Default 60. */
  readonly maximumTurn?: number;
  /** What to do where points are too far apart: refuse the whole, or give that part coherence 0 so that it carries no decision. */
  readonly tooCoarse?: "refuse" | "doubt";
}

/** An interpolated response, and how it came about. */
export interface InterpolatedResponse extends Response {
  /** "complex" where phase took part, "magnitude" where there was none. */
  readonly interpolated: "complex" | "magnitude";
  /** Seconds that were taken out and put back. */
  readonly bulkDelay: number;
  /** Share of the frequencies that lie between points too far apart, and so have coherence 0. */
  readonly coarseFraction: number;
}

/**
 * Interpolates a response.
 *
 * At up to 60° from point to point the cubic errs by less than 3 % of the magnitude (0.25 dB).
 *
 * @param response   measured points, at least two
 * @param frequency  where it is wanted, hertz, ascending
 * @param options    delay and limits
 * @throws RangeError naming the frequencies, when one wanted lies outside those measured, or the points are too far apart
 */
export function interpolateResponse(
  response: Response,
  frequency: Float64Array,
  { delay = "found", maximumStep = 0.4, maximumTurn = 60, tooCoarse = "refuse" }: InterpolationOptions = {},
): InterpolatedResponse {
  const source = response.frequency;
  requireRange(source, frequency);
  const complex = response.magnitudeOnly !== true;
  const seconds = complex ? (delay === "found" ? bulkDelay(response) : delay) : 0;
  const still = complex ? delayed(response, -seconds) : response;
  const octave = source.map((f) => Math.log2(f));
  const n = frequency.length;
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  const coherence = response.coherence || tooCoarse === "doubt" ? new Float64Array(n) : undefined;
  const averages = response.averages && new Float64Array(n);
  const diffuse = response.diffuse && new Float64Array(n);
  let coarse = 0;
  let k = 0;
  for (let i = 0; i < n; i++) {
    while (k < source.length - 2 && source[k + 1] <= frequency[i]) k++;
    const t = (Math.log2(frequency[i]) - octave[k]) / (octave[k + 1] - octave[k]);
    const atPoint = frequency[i] === source[k] || frequency[i] === source[k + 1];
    const problem = atPoint ? undefined : gapProblem(still, octave, k, complex, maximumStep, maximumTurn);
    if (problem && tooCoarse === "refuse") throw new RangeError(problem);
    if (problem) coarse++;
    const curve = complex && !atPoint ? cubic : straight;
    re[i] = curve(still.re, octave, k, t);
    if (complex) im[i] = curve(still.im, octave, k, t);
    if (coherence) {
      coherence[i] = problem ? 0 : response.coherence ? straight(response.coherence, octave, k, t) : 1;
    }
    if (averages) averages[i] = straight(response.averages!, octave, k, t);
    if (diffuse) diffuse[i] = straight(response.diffuse!, octave, k, t);
  }
  const onGrid = { frequency, re, im };
  const turned = complex ? delayed(onGrid, seconds) : onGrid;
  return {
    frequency,
    re: turned.re,
    im: turned.im,
    ...(diffuse && { diffuse }),
    ...(coherence && { coherence }),
    ...(averages && { averages }),
    ...(!complex && { magnitudeOnly: true }),
    interpolated: complex ? "complex" : "magnitude",
    bulkDelay: seconds,
    coarseFraction: coarse / n,
  };
}

function requireRange(source: Float64Array, wanted: Float64Array): void {
  if (source.length < 2) {
    throw new RangeError(
      `response has ${source.length} frequencies, expected two or more to interpolate between`,
    );
  }
  if (wanted.length === 0)
    throw new RangeError("frequency is empty, expected at least one to interpolate onto");
  const outside = wanted.find((f) => !(f >= source[0] && f <= source[source.length - 1]));
  if (outside !== undefined) {
    throw new RangeError(
      `frequency ${outside} Hz lies outside the ${source[0]} to ${source[source.length - 1]} Hz that were measured; choose frequencies within`,
    );
  }
  const back = wanted.findIndex((f, i) => i > 0 && !(f > wanted[i - 1]));
  if (back >= 0) {
    throw new RangeError(`frequency[${back}] is ${wanted[back]}, expected more than the one before`);
  }
}

/** A sentence where the points at k and k + 1 are too far apart, else undefined. */
function gapProblem(
  { frequency, re, im }: Response,
  octave: Float64Array,
  k: number,
  complex: boolean,
  maximumStep: number,
  maximumTurn: number,
): string | undefined {
  const between = `between ${frequency[k]} and ${frequency[k + 1]} Hz`;
  const step = octave[k + 1] - octave[k];
  if (step > maximumStep) {
    return `response is too coarse ${between}: a step of ${step.toFixed(2)} octaves, expected ${maximumStep} at most; measure with longer windows`;
  }
  if (!complex) return undefined;
  const turn =
    Math.abs(Math.atan2(re[k] * im[k + 1] - im[k] * re[k + 1], re[k] * re[k + 1] + im[k] * im[k + 1])) *
    (180 / Math.PI);
  if (turn <= maximumTurn) return undefined;
  return `response is too coarse ${between}: its phase turns by ${turn.toFixed(0)}°, expected ${maximumTurn}° at most; measure with more points or more averages`;
}

function straight(y: Float64Array, _x: Float64Array, k: number, t: number): number {
  if (t === 0) return y[k];
  return t === 1 ? y[k + 1] : y[k] + t * (y[k + 1] - y[k]);
}

/** Cubic Hermite between points k and k + 1; the slope at a point is that of the parabola through it and its neighbours. */
function cubic(y: Float64Array, x: Float64Array, k: number, t: number): number {
  const h = x[k + 1] - x[k];
  const chord = (y[k + 1] - y[k]) / h;
  const left = k > 0 ? (y[k] - y[k - 1]) / (x[k] - x[k - 1]) : undefined;
  const right = k + 2 < y.length ? (y[k + 2] - y[k + 1]) / (x[k + 2] - x[k + 1]) : undefined;
  const mix = (a: number, ha: number, b: number, hb: number) => (a * hb + b * ha) / (ha + hb);
  let m0 = left === undefined ? undefined : mix(left, x[k] - x[k - 1], chord, h);
  let m1 = right === undefined ? undefined : mix(chord, h, right, x[k + 2] - x[k + 1]);
  // At the ends a parabola takes the missing neighbour's place.
  m0 ??= m1 === undefined ? chord : 2 * chord - m1;
  m1 ??= 2 * chord - m0;
  const s = 1 - t;
  return (
    (1 + 2 * t) * s * s * y[k] + t * s * s * h * m0 + t * t * (3 - 2 * t) * y[k + 1] - t * t * s * h * m1
  );
}
