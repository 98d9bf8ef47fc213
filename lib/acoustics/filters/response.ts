/**
 * Filters of loudspeaker processing as analog complex responses.
 *
 * Each filter is its zeros, poles and gain; response, phase and group delay all follow from these.
 */
import { decibelToAmplitude } from "../level/decibel";
import type { Complex, Processing } from "./filter";
import { filterShape } from "./shapes";

/** Zeros and poles in radians per second, and the factor before their product; delay in seconds beside them. */
export interface PolesAndZeros {
  readonly zeros: readonly Complex[];
  readonly poles: readonly Complex[];
  readonly gain: number;
  readonly delay: number;
}

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
    if (shape.delay !== 0) delayBy(re, im, w, shape.delay);
  }
  return { re, im };
}

/**
 * Phase of a filter or a chain of filters, unwrapped: continuous over frequency.
 *
 * @param filter  one filter, or several in series
 * @param frequency  hertz, 0 or more
 * @returns radians at each frequency; a highpass starts at 90° per order, an all-pass at 0, reversed polarity
 *   adds −180°
 * @throws RangeError when a filter's order, frequency or Q is out of its range
 * @source argument of each pole and zero; check: tests/acoustics/filters/response.test.ts
 */
export function filterPhase(
  filter: Processing | readonly Processing[],
  frequency: ArrayLike<number>,
): Float64Array {
  const shapes = asList(filter).map(shapeOf);
  return Float64Array.from(frequency, (f) => {
    let phase = 0;
    for (const shape of shapes) {
      const w = f / shape.frequency;
      for (const zero of shape.zeros) phase += argument(w, zero);
      for (const pole of shape.poles) phase -= argument(w, pole);
      phase -= 2 * Math.PI * f * shape.delay + (isReversed(shape) ? Math.PI : 0);
    }
    return phase;
  });
}

/**
 * Group delay of a filter or a chain of filters: −dφ/dω.
 *
 * @param filter  one filter, or several in series
 * @param frequency  hertz, 0 or more
 * @returns seconds at each frequency
 * @throws RangeError when a filter's order, frequency or Q is out of its range
 * @source derivative of the argument of each pole and zero; check: tests/acoustics/filters/response.test.ts
 */
export function filterGroupDelay(
  filter: Processing | readonly Processing[],
  frequency: ArrayLike<number>,
): Float64Array {
  const shapes = asList(filter).map(shapeOf);
  return Float64Array.from(frequency, (f) => {
    let delay = 0;
    for (const shape of shapes) {
      const w = f / shape.frequency;
      let turn = 0;
      for (const zero of shape.zeros) turn += slope(w, zero);
      for (const pole of shape.poles) turn -= slope(w, pole);
      delay += shape.delay + turn / (2 * Math.PI * shape.frequency);
    }
    return delay;
  });
}

/**
 * Poles and zeros of a filter.
 *
 * @param filter  one filter
 * @returns zeros and poles in radians per second; gain such that the response is gain · ∏(s − zero)/∏(s − pole)
 * @throws RangeError when the filter's order, frequency or Q is out of its range
 * @source see each kind in shapes.ts; check: tests/acoustics/filters/response.test.ts
 */
export function polesAndZeros(filter: Processing): PolesAndZeros {
  const { zeros, poles, gain, frequency, delay } = shapeOf(filter);
  const omega = 2 * Math.PI * frequency;
  const scaled = (z: Complex): Complex => ({ re: z.re * omega, im: z.im * omega });
  return {
    zeros: zeros.map(scaled),
    poles: poles.map(scaled),
    gain: gain * omega ** (poles.length - zeros.length),
    delay,
  };
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

/** Times e^{-jωτ}; whole turns are taken off first, so that a long delay keeps its digits. */
function delayBy(re: Float64Array, im: Float64Array, frequency: Float64Array, delay: number): void {
  for (let i = 0; i < frequency.length; i++) {
    const angle = -2 * Math.PI * ((frequency[i] * delay) % 1);
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const x = re[i];
    re[i] = x * c - im[i] * s;
    im[i] = x * s + im[i] * c;
  }
}

/** Continuous argument of jw − root for w from 0 up; of root − jw where the root lies right of the imaginary axis. */
function argument(w: number, root: Complex): number {
  if (root.re === 0 && root.im === 0) return Math.PI / 2;
  return -Math.atan((w - root.im) / root.re);
}

/** Whether a negative factor is left over once every root right of the axis has had its sign turned. */
function isReversed({ gain, zeros }: { readonly gain: number; readonly zeros: readonly Complex[] }): boolean {
  return zeros.filter((zero) => zero.re > 0).length % 2 === 1 ? gain > 0 : gain < 0;
}

/** Minus the derivative of the argument of jw − root. */
function slope(w: number, root: Complex): number {
  if (root.re === 0) return 0;
  return root.re / (root.re * root.re + (w - root.im) ** 2);
}

function asList(filter: Processing | readonly Processing[]): readonly Processing[] {
  return Array.isArray(filter) ? filter : [filter as Processing];
}
