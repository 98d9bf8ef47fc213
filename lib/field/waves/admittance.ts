/**
 * Walls in time: how much each takes, as an admittance that can be stepped.
 *
 * The real admittance with which a locally reacting wall absorbs of sound from all directions what the file says (`absorptionOf`) is
 * met, at a few frequencies, by a constant admittance beside damped resonances, whose strengths aren't negative, so that a wall can
 * only take.
 *
 * @source Kuttruff, Room Acoustics, section 2.5 (from memory); branches: Bilbao, Hamilton, Botts and Savioja,
 *   IEEE/ACM Trans. Audio Speech Lang. Process. 24 (2016), 161-173 (from memory)
 */
import { type BandValues, valueAt } from "../../acoustics/bands/curve";
import { absorptionOf } from "../../acoustics/reflection/local-wall";

/** Resonances of the branches, hertz, and how damped they are: about an octave wide. */
export const BRANCHES = [31.5, 63, 125, 250];
export const DAMPING = 1.4;

/** Strengths of a wall's admittance: constant, then one for each branch. */
export type Admittance = readonly number[];

/** Real admittance below 1 that absorbs this much: by halving. */
export function admittanceFor(absorption: number): number {
  let low = 0;
  let high = MOST;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (absorptionOf(middle) < absorption) low = middle;
    else high = middle;
  }
  return low;
}

/** Where Paris' mean is largest, 0.951: what absorbs more is met as well as can be. */
const MOST = 0.637;

/** What a branch of strength 1 lets through at a frequency. */
export function branchAt(branch: number, frequency: number): { re: number; im: number } {
  const x = (frequency / BRANCHES[branch] - BRANCHES[branch] / frequency) / DAMPING;
  return { re: 1 / (1 + x * x), im: -x / (1 + x * x) };
}

/** The strengths that come nearest to an absorption by octave, 20 to 200 Hz. */
export function admittanceOf(absorption: BandValues): Admittance {
  const frequencies = Array.from({ length: 11 }, (_, i) => 20 * 10 ** (i / 10));
  const wanted = frequencies.map((f) => admittanceFor(Math.min(1, Math.max(0, valueAt(absorption, f)))));
  const columns = [
    frequencies.map(() => ({ re: 1, im: 0 })),
    ...BRANCHES.map((_, b) => frequencies.map((f) => branchAt(b, f))),
  ];
  // Least squares without negative strengths, one strength after another until nothing moves.
  const product = (a: Wave, b: Wave): number =>
    a.reduce((sum, { re, im }, f) => sum + re * b[f].re + im * b[f].im, 0);
  const among = columns.map((a) => columns.map((b) => product(a, b)));
  const strengths = columns.map(() => 0);
  const left = columns.map((column) =>
    product(
      column,
      wanted.map((re) => ({ re, im: 0 })),
    ),
  );
  for (let round = 0; round < 2000; round++) {
    let moved = 0;
    for (let c = 0; c < columns.length; c++) {
      const next = Math.max(0, strengths[c] + left[c] / among[c][c]);
      const change = next - strengths[c];
      strengths[c] = next;
      moved = Math.max(moved, Math.abs(change));
      for (let other = 0; other < columns.length; other++) left[other] -= change * among[other][c];
    }
    if (moved < 1e-12) break;
  }
  return strengths;
}

type Wave = readonly { readonly re: number; readonly im: number }[];
