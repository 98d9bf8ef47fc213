/**
 * The Fresnel integral G(x) = ∫₀ˣ e^{-jπt²/2} dt = C(x) − jS(x), fast enough for every path and frequency.
 *
 * From a table with straight lines between its points, within 1e-5 up to |x| = 4. From there to |x| = 6 the ripple
 * around the limit ½(1 − j), which is below 1/(πx) = 8 % and dies away slowly, is faded out, so that above a
 * path's last frequency with an effect no more needs to be computed.
 */
export const FRESNEL_LIMIT = 6;
/** Where the fading begins. */
export const FADE_FROM = 4;

/**
 * Adds G(v·root) at the first frequencies. In arrays, for a number handed to a function that is not inlined costs
 * an allocation.
 *
 * @param v  any number, also ±Infinity
 * @param root  factors on v, 0 or more
 * @param count  how many frequencies
 * @param re  C is added here
 * @param im  −S is added here
 */
export function addFresnelIntegral(
  v: number,
  root: Float64Array,
  count: number,
  re: Float64Array,
  im: Float64Array,
): void {
  table ??= makeTable();
  const sign = v < 0 ? -1 : 1;
  const scale = Math.min(Math.abs(v), 1e9) * PER_UNIT;
  for (let f = 0; f < count; f++) {
    // The last point is the limit, and stands for all beyond.
    const at = Math.min(scale * root[f], LAST);
    const i = at | 0;
    const part = sign * (at - i);
    const whole = sign - part;
    const q = 2 * i;
    re[f] += table[q] * whole + table[q + 2] * part;
    im[f] += table[q + 1] * whole + table[q + 3] * part;
  }
}

const PER_UNIT = 512;
const LAST = FRESNEL_LIMIT * PER_UNIT;
/** Per point: C and −S. */
let table: Float64Array | undefined;

/** Sums over the steps by Gauss-Legendre with two points, good to 1e-13 at this step. */
function makeTable(): Float64Array {
  const result = new Float64Array(2 * (LAST + 2));
  let c = 0;
  let s = 0;
  for (let i = 0; i < LAST + 2; i++) {
    const x = i / PER_UNIT;
    const kept = fade(x);
    result[2 * i] = 0.5 + kept * (c - 0.5);
    result[2 * i + 1] = -0.5 - kept * (s - 0.5);
    for (const node of [0.21132486540518708, 0.7886751345948129]) {
      const angle = (Math.PI / 2) * (x + node / PER_UNIT) ** 2;
      c += Math.cos(angle) / (2 * PER_UNIT);
      s += Math.sin(angle) / (2 * PER_UNIT);
    }
  }
  return result;
}

/** How much of the ripple is kept at x. */
function fade(x: number): number {
  const done = Math.min(1, Math.max(0, (x - FADE_FROM) / (FRESNEL_LIMIT - FADE_FROM)));
  return (1 + Math.cos(Math.PI * done)) / 2;
}
