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
 * the zone's size it falls by 3 dB per octave and direction.
 *
 * What passes an obstructing rectangle is the rest, 1 − F F' (Babinet), the classic knife edge for a single edge. A hard edge
 * sends out a second wave beside it, as if from the mirror image of the source in the rectangle: behind a half plane the field
 * is, with R the path, R' that from the mirror image and L that over the edge,
 *
 *     e^{-jkR}/R · [a E(v) + a' e^{-jk(R'−R)} E(v')],  a = R √(2/(L(L + R))),  a' the same with R',  v' = 2 √((L − R')/λ),
 *
 * within 0.5 dB of Macdonald's solution. Between two edges the second wave is lessened by (2kw)²/(1 + (2kw)²), w their distance, for
 * what is narrow against the wavelength scatters by its square: own way, the 2 from a boundary-element solution of strips.
 *
 * Limits: the two directions are treated apart, which is exact only near the straight path; panels below some
 * third of a wavelength truly scatter less than this (12 dB per octave instead of 6); no energy is scattered to
 * and fro between edges. An edge that adjoins another boundary is no free edge: see `walls.ts`.
 *
 * @source Rindel, Attenuation of sound reflections due to diffraction, Nordic Acoustical Meeting (1986), 257-260;
 *   Rindel, Design of new ceiling reflectors for improved ensemble in a concert hall, Applied Acoustics 34 (1991),
 *   7-17; Hadden and Pierce, Sound diffraction around screens and wedges for arbitrary point source locations, J. Acoust. Soc.
 *   Am. 69 (1981), 1266-1276 (all from memory); check: tests/field/paths/finite-size.test.ts,
 *   tests/field/paths/hard-edge.test.ts
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

/** What the second wave of hard edges needs of an obstructing rectangle. */
export interface HardEdges {
  /** Of the path, metres. */
  readonly length: number;
  /** Of the path from the source's mirror image in the rectangle, metres. */
  readonly mirrored: number;
  /** Between opposite edges, metres; infinite where one of them is none. */
  readonly width: number;
  readonly height: number;
}

/** What stands in the way of a path. */
export interface Obstruction extends HardEdges {
  readonly detours: Detours;
}

/** The obstruction that a rectangle of an extent is to a path that crosses its plane. */
export function obstruction(
  crossing: Crossing,
  extent: Extent,
  found: Detours = detours(crossing, extent),
): Obstruction {
  const { before, after, cosU, cosV } = crossing;
  const length = before + after;
  const square = Math.max(0, 1 - cosU * cosU - cosV * cosV);
  return {
    detours: found,
    length,
    mirrored: Math.sqrt(Math.max(0, length * length - 4 * before * after * square)),
    width: extent.toU - extent.fromU,
    height: extent.toV - extent.fromV,
  };
}

/** What the waves of one edge are worth: a, a', and v' by v. */
function hardEdge(detour: number, { length, mirrored }: HardEdges) {
  const over = length + Math.abs(detour);
  return {
    first: length * Math.sqrt(2 / (over * (over + length))),
    second: length * Math.sqrt(2 / (over * (over + mirrored))),
    ratio: Math.sqrt((over - mirrored) / Math.max(Math.abs(detour), TINY)),
  };
}

/** Metres: at an edge itself the ratio of v' and v has no end. */
const TINY = 1e-9;

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

/**
 * Upper bound of |1 − F F'|: deep behind all edges less than the sum of what each lets through, both waves where its edges are
 * hard.
 */
export function mostPassed(d: Detours, wavelength: number, edges?: HardEdges): number {
  let sum = 0;
  for (let i = 0; i < 4; i++) {
    const first = left(-d[i], wavelength);
    if (first === 1) return 1;
    if (first === 0) continue;
    if (!edges) sum += first;
    else {
      const hard = hardEdge(d[i], edges);
      sum += first * (hard.first + hard.second / hard.ratio);
    }
  }
  return Math.min(1, sum);
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
 * @param edges  of an obstruction, where its edges are hard
 */
export function applyFiniteSize(
  re: Float64Array,
  im: Float64Array,
  start: number,
  d: Detours,
  rootPerWavelength: Float64Array,
  act: FiniteSizeAct = "reflected",
  edges?: HardEdges,
): void {
  const n = rootPerWavelength.length;
  const hit = !isOutside(d[0], d[1]) && !isOutside(d[2], d[3]);
  const shadow = act === "in shadow" && hit;
  const most = shadow ? below(FADE_FROM, d, rootPerWavelength) : n;
  const count = coveredByBoth(d, rootPerWavelength, most, edges);
  const rest = act !== "reflected";
  if (edges) secondWaves(d, rootPerWavelength, count, edges);
  for (let f = 0; f < count; f++) {
    const [p, q, r, s] = [across.re[f], across.im[f], along.re[f], along.im[f]];
    let a = p * r - q * s;
    let b = p * s + q * r;
    if (rest) {
      a = 1 - a;
      b = -b;
    }
    if (edges) {
      const [second, other] = seconds;
      a += second.re[f] * r - second.im[f] * s + other.re[f] * p - other.im[f] * q;
      b += second.re[f] * s + second.im[f] * r + other.re[f] * q + other.im[f] * p;
    }
    const x = re[start + f];
    const y = im[start + f];
    re[start + f] = x * a - y * b;
    im[start + f] = x * b + y * a;
  }
  if (shadow) applyShadow(re, im, start, count, d, rootPerWavelength, edges);
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
  edges: HardEdges | undefined,
): void {
  const hard = d.map((x) => (edges && x !== Infinity ? hardEdge(x, edges) : undefined));
  for (let f = from; f < root.length; f++) {
    const perWavelength = root[f] * root[f];
    let a = 0;
    let b = 0;
    for (let edge = 0; edge < 4; edge++) {
      const waves = d[edge] * perWavelength;
      if (waves === Infinity) continue;
      const angle = -2 * Math.PI * ((waves % 1) + 0.125);
      const { first = 1, second = 0, ratio = 1 } = hard[edge] ?? {};
      const kept = edges ? wideness(acrossEdge(edge, edges), root[f]) : 0;
      const size = (first + (second * kept) / ratio) / (2 * Math.SQRT2 * Math.PI * Math.sqrt(waves));
      a += size * Math.cos(angle);
      b += size * Math.sin(angle);
    }
    const x = re[start + f];
    const y = im[start + f];
    re[start + f] = x * a - y * b;
    im[start + f] = x * b + y * a;
  }
}

const acrossEdge = (edge: number, { width, height }: HardEdges): number => (edge < 2 ? width : height);

/** (2kw)²/(1 + (2kw)²). */
function wideness(width: number, root: number): number {
  const narrow = 1 / (4 * Math.PI * width * root * root) ** 2;
  return 1 / (1 + narrow);
}

/** The second waves of the edges of each direction, at the first frequencies: E(v) a' s(v')/s(v), for both have one phase. */
function secondWaves(d: Detours, root: Float64Array, count: number, edges: HardEdges): void {
  if (seconds[0].re.length !== root.length) seconds = [complexes(root.length), complexes(root.length)];
  if (alone.re.length !== root.length) alone = complexes(root.length);
  for (const { re, im } of seconds) {
    re.fill(0);
    im.fill(0);
  }
  d.forEach((detour, edge) => {
    if (Math.abs(detour) === Infinity) return;
    const { second, ratio } = hardEdge(detour, edges);
    alone.re.fill(0);
    alone.im.fill(0);
    const scale = 2 * Math.sqrt(Math.max(Math.abs(detour), TINY));
    const felt = addEdge(scale, 1, root, count, alone.re, alone.im);
    const { re, im } = seconds[edge >> 1];
    for (let f = 0; f < felt; f++) {
      const v = scale * root[f];
      const [f1, g1, f2, g2] = [auxiliaryF(v), auxiliaryG(v), auxiliaryF(v * ratio), auxiliaryG(v * ratio)];
      const size = (second * wideness(acrossEdge(edge, edges), root[f])) / (f1 * f1 + g1 * g1);
      const a = size * (g2 * g1 + f2 * f1);
      const b = size * (g2 * f1 - f2 * g1);
      re[f] += alone.re[f] * a - alone.im[f] * b;
      im[f] += alone.re[f] * b + alone.im[f] * a;
    }
  });
}

/**
 * E(v) = (1 + j)/2 · (g − jf) · e^{-jπv²/2}, with the auxiliary functions of the Fresnel integrals within 2e-3.
 *
 * @source Abramowitz and Stegun, 7.3.32 and 7.3.33 (from memory); check: tests/field/paths/hard-edge.test.ts
 */
const auxiliaryF = (v: number): number => (1 + 0.926 * v) / (2 + v * (1.792 + v * 3.104));
const auxiliaryG = (v: number): number => 1 / (2 + v * (4.142 + v * (3.492 + v * 6.67)));

/** How many of the ascending frequencies, in fours, lie below that at which the nearest edge is at v. */
function below(v: number, d: Detours, root: Float64Array): number {
  const nearest = Math.min(Math.abs(d[0]), Math.abs(d[1]), Math.abs(d[2]), Math.abs(d[3]));
  const limit = v / (2 * Math.sqrt(nearest));
  let count = 0;
  while (count < root.length && root[count] < limit) count += 4;
  return Math.min(count, root.length);
}

/**
 * F and F' at the first frequencies, in arrays that the next call overwrites; returns how many. Above them F F' is 1 where the
 * path meets the rectangle, else 0.
 */
function coveredByBoth(d: Detours, root: Float64Array, most: number, edges: HardEdges | undefined): number {
  if (across.re.length !== root.length) [across, along] = [complexes(root.length), complexes(root.length)];
  const a = covered(d[0], d[1], root, most, across, edges);
  const b = covered(d[2], d[3], root, most, along, edges);
  // Outside the rectangle in one direction, nothing is left of the product where that direction has come to 0.
  const ends = [isOutside(d[0], d[1]) ? a : most, isOutside(d[2], d[3]) ? b : most];
  return Math.min(Math.max(a, b), ends[0], ends[1]);
}

const isOutside = (d1: number, d2: number): boolean => d1 < 0 || d2 < 0;

/** F of one direction, 1 − E(v₁) − E(v₂); returns how many frequencies feel an edge. */
function covered(
  d1: number,
  d2: number,
  root: Float64Array,
  most: number,
  into: Complexes,
  edges: HardEdges | undefined,
): number {
  const { re, im } = into;
  // E of an edge that the path passes on the far side of is 1 − E of its distance.
  re.fill(1 - Number(d1 < 0) - Number(d2 < 0), 0, most);
  im.fill(0, 0, most);
  let felt = 0;
  for (const d of [d1, d2]) {
    if (d === Infinity) continue;
    const size = edges ? hardEdge(d, edges).first : 1;
    felt = Math.max(felt, addEdge(2 * Math.sqrt(Math.abs(d)), d < 0 ? size : -size, root, most, re, im));
  }
  return felt;
}

/** Scratch for the two directions' factors, their second waves and those of one edge. */
let across = complexes(0);
let along = complexes(0);
let seconds = [complexes(0), complexes(0)];
let alone = complexes(0);
