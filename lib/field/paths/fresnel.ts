/**
 * What an edge takes from a wave front that passes it at v: E(v) = ½ − (1 + j)/2 · G(v), with the Fresnel integral
 * G(v) = ∫₀ᵛ e^{-jπt²/2} dt = C(v) − jS(v). Half at the edge, nothing far inside it, all of it far outside:
 * E(−v) = 1 − E(v).
 *
 * From a table with straight lines between its points, within 1e-5 up to v = 4. From there to v = 6 the ripple, which
 * is below 1/(πv) = 8 % and dies away slowly, is faded out, so that above an edge's last frequency with an effect no
 * more needs to be computed.
 */
export const EDGE_LIMIT = 6;
/** Where the fading begins. */
export const FADE_FROM = 4;

/**
 * Adds E(v·root), times a factor, at the frequencies where it is not yet 0. In arrays, for a number handed to a function
 * that is not inlined costs an allocation.
 *
 * @param v  0 or more, also Infinity
 * @param factor  on E
 * @param root  factors on v, ascending
 * @param count  how many frequencies at most
 * @param re  E's real part is added here
 * @param im  E's imaginary part is added here
 * @returns how many frequencies it had an effect on
 */
export function addEdge(
  v: number,
  factor: number,
  root: Float64Array,
  count: number,
  re: Float64Array,
  im: Float64Array,
): number {
  const table = edgeTable();
  const scale = v * PER_UNIT;
  for (let f = 0; f < count; f++) {
    const at = scale * root[f];
    if (!(at < LAST)) return f;
    const i = at | 0;
    const part = factor * (at - i);
    const whole = factor - part;
    const q = 2 * i;
    re[f] += table[q] * whole + table[q + 2] * part;
    im[f] += table[q + 1] * whole + table[q + 3] * part;
  }
  return count;
}

/** Points of the table per 1 of v. */
export const PER_UNIT = 512;
const LAST = EDGE_LIMIT * PER_UNIT;

/** E at steps of v, real and imaginary part in turn, up to the limit and one beyond, where it is 0. */
export function edgeTable(): Float64Array {
  table ??= makeTable();
  return table;
}

let table: Float64Array | undefined;

/** Sums over the steps by Gauss-Legendre with two points, good to 1e-13 at this step. */
function makeTable(): Float64Array {
  const result = new Float64Array(2 * (LAST + 2));
  let c = 0;
  let s = 0;
  for (let i = 0; i < LAST; i++) {
    const x = i / PER_UNIT;
    const kept = fade(x);
    result[2 * i] = (kept * (1 - c - s)) / 2;
    result[2 * i + 1] = (kept * (s - c)) / 2;
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
  const done = Math.min(1, Math.max(0, (x - FADE_FROM) / (EDGE_LIMIT - FADE_FROM)));
  return (1 + Math.cos(Math.PI * done)) / 2;
}
