/**
 * Filters of loudspeaker processing as analog complex responses.
 *
 * Each filter is its zeros, poles and gain (shapes.ts); the response follows from these.
 */
import { longDelayFactor, multiply } from "../../numeric/complexes";
import { decibelToAmplitude } from "../level/decibel";
import type { Complex, Processing } from "./filter";
import { filterShape } from "./shapes";

/**
 * Complex response of a filter, or of a chain of filters, as a loudspeaker processor has them.
 *
 * @param filter  one filter, or several in series
 * @param frequency  hertz, 0 or more
 * @returns `re` and `im`, real and imaginary part of the ratio of output to input at each frequency
 * @throws RangeError when a filter's order, frequency or Q is out of its range
 * @source Butterworth, Bessel: Zverev, Handbook of Filter Synthesis (from memory); Linkwitz-Riley: Linkwitz, Active crossover networks for noncoincident drivers, J. Audio Eng. Soc. 24 (1976), 2-8; peak, shelf, all-pass: W3C Audio EQ Cookbook, analog prototypes; check: tests/acoustics/filters/response.test.ts
 * @example
 * const crossover = { kind: "linkwitz-riley", type: "lowpass", order: 4, frequency: 80 } as const;
 * const { re, im } = acoustics.filters.response(crossover, [80]);
 * acoustics.level.ofAmplitude(Math.hypot(re[0], im[0])) // -6.02
 */
export function filterResponse(
  filter: Processing | readonly Processing[],
  frequency: ArrayLike<number>,
): { re: Float64Array; im: Float64Array } {
  const re = new Float64Array(frequency.length).fill(1);
  const im = new Float64Array(frequency.length);
  for (const shape of asList(filter).map(shapeOf)) {
    const w = Float64Array.from(frequency, (f) => f / shape.frequency);
    for (let i = 0; i < w.length; i++) {
      re[i] *= shape.gain;
      im[i] *= shape.gain;
    }
    for (const zero of shape.zeros) multiplyByRoot(re, im, w, zero);
    for (const pole of shape.poles) divideByRoot(re, im, w, pole);
    if (shape.delay !== 0) multiply({ re, im }, longDelayFactor(w, shape.delay));
  }
  return { re, im };
}

function shapeOf(filter: Processing) {
  const flat = { zeros: [], poles: [], gain: 1, frequency: 1, delay: 0 };
  switch (filter.kind) {
    case "delay":
      return { ...flat, delay: filter.delay };
    case "polarity":
      return { ...flat, gain: filter.polarity };
    case "gain":
      return { ...flat, gain: decibelToAmplitude(filter.gain) };
    default:
      return { ...filterShape(filter), frequency: filter.frequency, delay: 0 };
  }
}

/** Times jw − root. */
function multiplyByRoot(re: Float64Array, im: Float64Array, w: Float64Array, root: Complex): void {
  for (let i = 0; i < w.length; i++) {
    const y = w[i] - root.im;
    const x = re[i];
    re[i] = -x * root.re - im[i] * y;
    im[i] = x * y - im[i] * root.re;
  }
}

/** Divided by jw − root. */
function divideByRoot(re: Float64Array, im: Float64Array, w: Float64Array, root: Complex): void {
  for (let i = 0; i < w.length; i++) {
    const y = w[i] - root.im;
    const x = re[i];
    const square = root.re * root.re + y * y;
    re[i] = (-x * root.re + im[i] * y) / square;
    im[i] = (-x * y - im[i] * root.re) / square;
  }
}

function asList(filter: Processing | readonly Processing[]): readonly Processing[] {
  return Array.isArray(filter) ? filter : [filter as Processing];
}
