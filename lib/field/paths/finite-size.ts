/**
 * How much of an endless plane's reflection a finite rectangle gives, and what an obstructing rectangle leaves.
 *
 * The part of the wave front that the rectangle covers is a Fresnel integral in each direction,
 *
 *     F = e^{jπ/4}/√2 · [G(v₂) + G(v₁)] = 1 − E(v₁) − E(v₂),  v = ±2 √(Δ/λ),
 *
 * with Δ the detour over each edge against the straight path, and v negative where the path passes beside the
 * rectangle. |F| is the factor K of Rindel for each direction; here the phase is kept, so that the reflection of a
 * small panel lags as it must, and the detour is exact where Rindel takes its first term e²cos²θ(1/a₁ + 1/a₂)/2.
 * Large against the Fresnel zone F is 1 with the ripple of edge diffraction, at the line of an edge ½, and below
 * the zone's size it falls by 3 dB per octave and direction. What passes an obstructing rectangle is the rest, 1 −
 * F F' (Babinet), the classic knife edge for a single edge.
 *
 * Limits: the two directions are treated apart, which is exact only near the straight path; panels below some
 * third of a wavelength truly scatter less than this (12 dB per octave instead of 6); no energy is scattered to
 * and fro between edges. An edge that adjoins another boundary is no free edge: see `walls.ts`.
 *
 * @source Rindel, Attenuation of sound reflections due to diffraction, Nordic Acoustical Meeting (1986), 257-260;
 *   Rindel, Design of new ceiling reflectors for improved ensemble in a concert hall, Applied Acoustics 34 (1991),
 *   7-17 (both from memory); check: tests/field/paths/finite-size.test.ts
 */
import { type Complexes, complexes } from "../../numeric/complexes";
import { addEdge, FADE_FROM } from "./fresnel";

/** Where a path meets the plane of a rectangle. */
export interface Crossing {
  /** Metres from the rectangle's first corner along its sides. */
  readonly u: number;
  readonly v: number;
  /** Metres along the path before and after. */
  readonly before: number;
  readonly after: number;
  /** Direction cosines of the path along the sides. */
  readonly cosU: number;
  readonly cosV: number;
}

/** Where the rectangle ends for this purpose, metres along its sides; infinite where it goes on. */
export interface Extent {
  readonly fromU: number;
  readonly toU: number;
  readonly fromV: number;
  readonly toV: number;
}

/**
 * Detours over the four edges, signed: negative where the path passes on the far side of that edge.
 *
 * The shortest way over an edge: the path unfolded about it, √((d₁ + d₂)² + s²) with d the distances of the path's
 * ends from the edge's line and s their separation along it.
 *
 * @returns metres, in the order of `Extent`; Infinity where there is no edge
 */
export function detours({ u, v, before, after, cosU, cosV }: Crossing, extent: Extent): Detours {
  const { fromU, toU, fromV, toV } = extent;
  const square = Math.max(0, 1 - cosU * cosU - cosV * cosV);
  const a = before * before * square;
  const b = after * after * square;
  return [
    over(u - fromU, before, after, -cosU, cosV, a, b),
    over(toU - u, before, after, cosU, cosV, a, b),
    over(v - fromV, before, after, -cosV, cosU, a, b),
    over(toV - v, before, after, cosV, cosU, a, b),
  ];
}

/**
 * Detour over one edge.
 *
 * @param inside  of the edge, metres
 * @param across, along  direction cosines against the edge
 * @param a, b  squares of the heights of the path's ends above the plane
 */
function over(
  inside: number,
  before: number,
  after: number,
  across: number,
  along: number,
  a: number,
  b: number,
): number {
  if (inside === Infinity) return Infinity;
  const x = inside + before * across;
  const y = inside - after * across;
  const whole = before + after;
  const d = Math.sqrt(a + x * x) + Math.sqrt(b + y * y);
  const s = whole * along;
  const detour = Math.max(0, Math.sqrt(d * d + s * s) - whole);
  return inside < 0 ? -detour : detour;
}

export type Detours = readonly [number, number, number, number];
export type FiniteSizeAct = "reflected" | "passed" | "in shadow";

/** True where there is no edge at all, so that the correction is 1. */
export function isWhole(d: Detours): boolean {
  return d[0] === Infinity && d[1] === Infinity && d[2] === Infinity && d[3] === Infinity;
}

/**
 * Upper bound of |F F'|: beyond an edge by v, less than 1/(√2 π v) is left.
 *
 * @param d  detours, metres
 * @param wavelength  metres
 */
export function mostReflected(d: Detours, wavelength: number): number {
  return left(Math.min(d[0], d[1]), wavelength) * left(Math.min(d[2], d[3]), wavelength);
}

/** Upper bound of |1 − F F'|: deep behind all edges less than the sum of what each lets through. */
export function mostPassed(d: Detours, wavelength: number): number {
  const across = left(-d[0], wavelength) + left(-d[1], wavelength);
  return Math.min(1, across + left(-d[2], wavelength) + left(-d[3], wavelength));
}

function left(detour: number, wavelength: number): number {
  if (detour >= 0) return 1;
  return Math.min(1, 1 / (2 * Math.SQRT2 * Math.PI * Math.sqrt(-detour / wavelength)));
}

/**
 * Multiplies complex values by F F', or by what passes, 1 − F F'.
 *
 * @param re, im  values, changed in place
 * @param start  index of the first
 * @param d  signed detours over the four edges, metres
 * @param rootPerWavelength  √(1/λ) at each frequency
 * @param act  "reflected"; "passed" an obstruction, where less than 6 % of the amplitude fades to nothing; or "in
 *   shadow", passed with that rest kept, for a direct sound that may be all there is
 */
export function applyFiniteSize(
  re: Float64Array,
  im: Float64Array,
  start: number,
  d: Detours,
  rootPerWavelength: Float64Array,
  act: FiniteSizeAct = "reflected",
): void {
  const n = rootPerWavelength.length;
  const hit = !isOutside(d[0], d[1]) && !isOutside(d[2], d[3]);
  const shadow = act === "in shadow" && hit;
  const most = shadow ? below(FADE_FROM, d, rootPerWavelength) : n;
  const { factor, count } = coveredByBoth(d, rootPerWavelength, most);
  const rest = act !== "reflected";
  for (let f = 0; f < count; f++) {
    const a = rest ? 1 - factor.re[f] : factor.re[f];
    const b = rest ? -factor.im[f] : factor.im[f];
    const x = re[start + f];
    const y = im[start + f];
    re[start + f] = x * a - y * b;
    im[start + f] = x * b + y * a;
  }
  if (shadow) applyShadow(re, im, start, count, d, rootPerWavelength);
  else if (hit === rest) {
    re.fill(0, start + count, start + n);
    im.fill(0, start + count, start + n);
  }
}

/**
 * Deep in the shadow, where each edge lets through e^{-j(kΔ + π/4)}/(√2 π v) and no more: the asymptotic Fresnel
 * integral.
 */
function applyShadow(
  re: Float64Array,
  im: Float64Array,
  start: number,
  from: number,
  d: Detours,
  root: Float64Array,
): void {
  for (let f = from; f < root.length; f++) {
    const perWavelength = root[f] * root[f];
    let a = 0;
    let b = 0;
    for (let edge = 0; edge < 4; edge++) {
      const waves = d[edge] * perWavelength;
      if (waves === Infinity) continue;
      const angle = -2 * Math.PI * ((waves % 1) + 0.125);
      const size = 1 / (2 * Math.SQRT2 * Math.PI * Math.sqrt(waves));
      a += size * Math.cos(angle);
      b += size * Math.sin(angle);
    }
    const x = re[start + f];
    const y = im[start + f];
    re[start + f] = x * a - y * b;
    im[start + f] = x * b + y * a;
  }
}

/** How many of the ascending frequencies, in fours, lie below that at which the nearest edge is at v. */
function below(v: number, d: Detours, root: Float64Array): number {
  const nearest = Math.min(Math.abs(d[0]), Math.abs(d[1]), Math.abs(d[2]), Math.abs(d[3]));
  const limit = v / (2 * Math.sqrt(nearest));
  let count = 0;
  while (count < root.length && root[count] < limit) count += 4;
  return Math.min(count, root.length);
}

/**
 * F F' at the first frequencies, in arrays that the next call overwrites. Above them it is 1 where the path meets the
 * rectangle, else 0.
 */
function coveredByBoth(d: Detours, root: Float64Array, most: number): { factor: Complexes; count: number } {
  if (across.re.length !== root.length) [across, along] = [complexes(root.length), complexes(root.length)];
  const a = covered(d[0], d[1], root, most, across);
  const b = covered(d[2], d[3], root, most, along);
  // Outside the rectangle in one direction, nothing is left of the product where that direction has come to 0.
  const ends = [isOutside(d[0], d[1]) ? a : most, isOutside(d[2], d[3]) ? b : most];
  const count = Math.min(Math.max(a, b), ends[0], ends[1]);
  if (b === 0) return { factor: across, count };
  if (a === 0) return { factor: along, count };
  for (let f = 0; f < count; f++) {
    const x = across.re[f];
    const y = across.im[f];
    across.re[f] = x * along.re[f] - y * along.im[f];
    across.im[f] = x * along.im[f] + y * along.re[f];
  }
  return { factor: across, count };
}

const isOutside = (d1: number, d2: number): boolean => d1 < 0 || d2 < 0;

/** F of one direction, 1 − E(v₁) − E(v₂); returns how many frequencies feel an edge. */
function covered(d1: number, d2: number, root: Float64Array, most: number, into: Complexes): number {
  if (d1 === Infinity && d2 === Infinity) return 0;
  const { re, im } = into;
  // E of an edge that the path passes on the far side of is 1 − E of its distance.
  re.fill(1 - Number(d1 < 0) - Number(d2 < 0), 0, most);
  im.fill(0, 0, most);
  const first = addEdge(2 * Math.sqrt(Math.abs(d1)), d1 < 0 ? 1 : -1, root, most, re, im);
  const second = addEdge(2 * Math.sqrt(Math.abs(d2)), d2 < 0 ? 1 : -1, root, most, re, im);
  return Math.max(first, second);
}

/** Scratch for the two directions' factors. */
let across = complexes(0);
let along = complexes(0);
