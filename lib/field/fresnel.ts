/**
 * The Fresnel integral G(x) = ∫₀ˣ e^{-jπt²/2} dt = C(x) − jS(x), fast enough for every path and frequency.
 *
 * From a table with cubic interpolation by the exact slope, within 2e-7 up to |x| = 4. From there to |x| = 6 the ripple around the limit
 * ½(1 − j), which is below 1/(πx) = 8 % and dies away slowly, is faded out, so that above a path's last frequency with an effect no
 * more needs to be computed.
 */
export const FRESNEL_LIMIT = 6;
/** Where the fading begins. */
export const FADE_FROM = 4;

/**
 * Adds G(v·root) at the first frequencies. In arrays, for a number handed to a function that is not inlined costs an allocation.
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
    const at = scale * root[f];
    if (at >= FRESNEL_LIMIT * PER_UNIT) {
      re[f] += sign * 0.5;
      im[f] -= sign * 0.5;
      continue;
    }
    const i = at | 0;
    const t = at - i;
    const rest = 1 - t;
    const last = t * t * (3 - 2 * t);
    const slopeHere = t * rest * rest;
    const slopeNext = -t * t * rest;
    const q = 4 * i;
    const c =
      table[q] * (1 - last) + table[q + 4] * last + table[q + 2] * slopeHere + table[q + 6] * slopeNext;
    const s =
      table[q + 1] * (1 - last) + table[q + 5] * last + table[q + 3] * slopeHere + table[q + 7] * slopeNext;
    re[f] += sign * c;
    im[f] += sign * s;
  }
}

const PER_UNIT = 128;
/** Per node: C, −S, and their slopes over one step. */
let table: Float64Array | undefined;

/** Sums over the steps by Gauss-Legendre with four points, good to 1e-13 at this step. */
function makeTable(): Float64Array {
  const nodes = [0.06943184420297371, 0.33000947820757187, 0.6699905217924281, 0.9305681557970263];
  const weights = [0.173927422568727, 0.326072577431273, 0.326072577431273, 0.173927422568727];
  const count = FRESNEL_LIMIT * PER_UNIT + 1;
  const result = new Float64Array(4 * count);
  let c = 0;
  let s = 0;
  for (let i = 0; i < count; i++) {
    const x = i / PER_UNIT;
    const phase = (Math.PI / 2) * x * x;
    const [kept, keptSlope] = fade(x);
    result.set(
      [
        0.5 + kept * (c - 0.5),
        -0.5 - kept * (s - 0.5),
        (kept * Math.cos(phase) + keptSlope * (c - 0.5)) / PER_UNIT,
        -(kept * Math.sin(phase) + keptSlope * (s - 0.5)) / PER_UNIT,
      ],
      4 * i,
    );
    nodes.forEach((node, q) => {
      const angle = (Math.PI / 2) * (x + node / PER_UNIT) ** 2;
      c += (weights[q] / PER_UNIT) * Math.cos(angle);
      s += (weights[q] / PER_UNIT) * Math.sin(angle);
    });
  }
  return result;
}

/** How much of the ripple is kept at x, and the slope of that. */
function fade(x: number): [number, number] {
  if (x <= FADE_FROM) return [1, 0];
  const rate = Math.PI / (FRESNEL_LIMIT - FADE_FROM);
  const angle = rate * (x - FADE_FROM);
  return [(1 + Math.cos(angle)) / 2, (-rate * Math.sin(angle)) / 2];
}
