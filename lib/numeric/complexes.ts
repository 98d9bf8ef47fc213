/** Complex numbers as two arrays, and what a delay does to them. */

/** One complex number per frequency, or per sample: real and imaginary parts. */
export interface Complexes {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** As many zeros. */
export const complexes = (n: number): Complexes => ({ re: new Float64Array(n), im: new Float64Array(n) });

/** Each number times the other at its place. */
export function product(a: Complexes, b: Complexes): Complexes {
  const out = { re: a.re.slice(), im: a.im.slice() };
  multiply(out, b);
  return out;
}

/** The same in place. */
export function multiply({ re, im }: Complexes, by: Complexes): void {
  for (let i = 0; i < re.length; i++) {
    const x = re[i];
    re[i] = x * by.re[i] - im[i] * by.im[i];
    im[i] = x * by.im[i] + im[i] * by.re[i];
  }
}

/** Adds each number to the one at its place. */
export function addTo({ re, im }: Complexes, more: Complexes): void {
  for (let i = 0; i < re.length; i++) {
    re[i] += more.re[i];
    im[i] += more.im[i];
  }
}

/**
 * What a delay is over frequency: e^{−j2πfτ} times a gain.
 *
 * @param frequency  hertz
 * @param delay  seconds, positive is later
 * @param gain  ratio; negative inverts the polarity
 * @param out  where to write
 */
export function delayFactor(
  frequency: Float64Array,
  delay: number,
  gain = 1,
  out = complexes(frequency.length),
): Complexes {
  for (let i = 0; i < frequency.length; i++) {
    const angle = 2 * Math.PI * frequency[i] * delay;
    out.re[i] = gain * Math.cos(angle);
    out.im[i] = -gain * Math.sin(angle);
  }
  return out;
}

/** The same for a delay of many periods: whole turns are taken off first, so that the last one keeps its digits. */
export const longDelayFactor = (frequency: Float64Array, delay: number): Complexes => ({
  re: frequency.map((f) => Math.cos(2 * Math.PI * ((f * delay) % 1))),
  im: frequency.map((f) => -Math.sin(2 * Math.PI * ((f * delay) % 1))),
});

/** Real part of the sum of all numbers, each earlier by a delay: for searches, which have no time for arrays. */
export function sumWithout(delay: number, frequency: Float64Array, { re, im }: Complexes): number {
  let sum = 0;
  for (let i = 0; i < frequency.length; i++) {
    const angle = 2 * Math.PI * frequency[i] * delay;
    sum += re[i] * Math.cos(angle) - im[i] * Math.sin(angle);
  }
  return sum;
}
