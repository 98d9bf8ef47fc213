/**
 * One candidate tried: the sum of its units at every seat and on stage, the offset that suits the audience, and how good it is.
 *
 * This is the search's hot loop; nothing in it is allocated per seat or frequency.
 */

import { levelOfMeanSquare, toDecibel } from "../../acoustics/level/decibel";
import { power } from "../../acoustics/response";
import { complexes, delayFactor } from "../../numeric/complexes";
import { minimise } from "../../numeric/search";
import { mainsWithFills } from "../../survey/mains-with-fills";
import { type DeviationForms, deviationsAt, withDefaults } from "../balance/balance";
import { bandWeights, coveredThirdOctaves, span } from "../balance/band-powers";
import { type AudienceSummary, summarise } from "../balance/summary";
import { seatCosts } from "../offset/seat-costs";
import type { LayoutContext, LayoutContextOptions } from "./context";
import type { Gene } from "./genes";
import type { LayoutSpace } from "./limits";
import type { DiffuseParts, Transfers } from "./transfer";

/** How good a candidate is. */
export interface Trial {
  readonly offset_db: number;
  readonly deviation_db: number;
  readonly frontRow_db: number;
  readonly spill_db: number | null;
  readonly level_db: number;
  readonly loudest_db: number;
}

export interface LayoutEvaluator {
  /** Tries a candidate. */
  evaluate(genes: readonly Gene[]): Trial;
  /** Deviations over the audience of the candidate tried last, at its offset. */
  audience(): AudienceSummary;
  /** Mean square of the subs in the low band per row of the candidate tried last, with no offset: seats, then stage. */
  powers(): Float64Array;
}

/**
 * Makes the function that tries candidates.
 *
 * @param context  seats and mains
 * @param transfers  of the space's units, at the seats and then the stage
 * @param space  what genes stand for
 * @param options  bands and target
 */
export function layoutEvaluator(
  context: LayoutContext,
  transfers: Transfers,
  space: LayoutSpace,
  options: LayoutContextOptions = {},
): LayoutEvaluator {
  const { weights, parts, positions } = context;
  const { frequency, weight, rows, re, im, diffuse } = transfers;
  const seatCount = positions.length;
  const columns = frequency.length;
  const mains = mainsAt(context, columns, options);
  const sumRe = new Float64Array(rows);
  const sumIm = new Float64Array(rows);
  const subs = new Float64Array(rows);
  const forms: DeviationForms = {
    a: mains.low.map((a, i) => a * mains.scale[i]),
    b: new Float64Array(seatCount),
    c: new Float64Array(seatCount),
    mid: mains.mid,
  };
  const deviation = new Float64Array(seatCount);
  const costs = seatCosts(forms, weights);
  const addDiffuse = diffuse ? diffuseAdder(diffuse, weight, rows) : undefined;
  const factors = Array.from({ length: space.count[1] }, () => complexes(columns));
  let offset = 0;

  const sumUp = (genes: readonly Gene[]): void => {
    const chosen = genes.map((gene) => unitOf(gene, space));
    genes.forEach(({ delay, gain, polarity }, g) => {
      const size = 10 ** (space.gains[gain] / 20) * space.polarities[polarity];
      delayFactor(frequency, space.delays[delay], size, factors[g]);
    });
    subs.fill(0);
    forms.b.fill(0);
    for (let f = 0; f < columns; f++) {
      for (let g = 0; g < chosen.length; g++) {
        const [p, q] = [factors[g].re[f], factors[g].im[f]];
        addTimes(sumRe, sumIm, g > 0, re[chosen[g]], im[chosen[g]], f * rows, p, q);
      }
      addPowers(subs, forms.b, sumRe, sumIm, weight[f], mains.re, mains.im, f * seatCount);
    }
    addDiffuse?.(genes, space, frequency, subs);
    for (let row = 0; row < seatCount; row++) {
      forms.b[row] *= mains.scale[row];
      forms.c[row] = subs[row] * mains.scale[row];
    }
  };

  return {
    evaluate(genes) {
      sumUp(genes);
      costs.changed();
      const best = minimise((x) => costs.of(x, "least mean square"), -30, 30, OFFSET_STEP, OFFSET_TOLERANCE);
      offset = best.x;
      const g = 10 ** (offset / 20);
      const lowAt = (i: number) => mains.low[i] + g * ((2 * forms.b[i]) / mains.scale[i] + g * subs[i]);
      let front = 0;
      let frontWeight = 0;
      for (const i of parts.front) {
        front += weights[i] * lowAt(i);
        frontWeight += weights[i];
      }
      let all = 0;
      let audience = 0;
      for (let i = 0; i < seatCount; i++) {
        all += weights[i] * lowAt(i);
        audience += weights[i] * subs[i];
      }
      let stage = 0;
      for (let row = seatCount; row < rows; row++) stage += subs[row] / (rows - seatCount);
      const loudest = genes.reduce(
        (most, gene) => Math.max(most, space.gains[gene.gain]),
        Number.NEGATIVE_INFINITY,
      );
      return {
        offset_db: offset,
        deviation_db: best.cost,
        frontRow_db: toDecibel(front / frontWeight / all),
        spill_db: rows > seatCount ? toDecibel(Math.max(stage, TINY) / Math.max(audience, TINY)) : null,
        level_db: levelOfMeanSquare(Math.max(audience, TINY)) - loudest,
        loudest_db: offset + loudest,
      };
    },
    audience: () => summarise(positions, weights, deviationsAt(forms, offset, deviation), parts),
    powers: () => subs.slice(),
  };
}

/** Grid of the offset's search and how exactly it is wanted, dB: the cost is flat around its least. */
const OFFSET_STEP = 4;
const OFFSET_TOLERANCE = 5e-3;
/** Mean square that is as good as silence, pascals squared. */
const TINY = 1e-30;

/** The unit that a gene puts up. */
export const unitOf = (gene: Gene, space: LayoutSpace): number => space.unitsAt[gene.position][gene.kind];

/** Adds a unit's transfer at one frequency times its coefficient, at all rows; the first of a sum takes its place. */
function addTimes(
  sumRe: Float64Array,
  sumIm: Float64Array,
  more: boolean,
  re: Float64Array,
  im: Float64Array,
  start: number,
  p: number,
  q: number,
): void {
  if (!more) {
    for (let row = 0; row < sumRe.length; row++) {
      const x = re[start + row];
      const y = im[start + row];
      sumRe[row] = p * x - q * y;
      sumIm[row] = p * y + q * x;
    }
    return;
  }
  for (let row = 0; row < sumRe.length; row++) {
    const x = re[start + row];
    const y = im[start + row];
    sumRe[row] += p * x - q * y;
    sumIm[row] += p * y + q * x;
  }
}

/**
 * Adds the power at each row, and at the seats, which come first, the real part of mains times conjugate subs; the
 * mains' values carry the frequency's weight.
 */
function addPowers(
  power: Float64Array,
  product: Float64Array,
  re: Float64Array,
  im: Float64Array,
  weight: number,
  mainsRe: Float64Array,
  mainsIm: Float64Array,
  start: number,
): void {
  const seats = product.length;
  for (let row = 0; row < seats; row++) {
    const x = re[row];
    const y = im[row];
    power[row] += weight * (x * x + y * y);
    product[row] += mainsRe[start + row] * x + mainsIm[start + row] * y;
  }
  for (let row = seats; row < power.length; row++) {
    power[row] += weight * (re[row] * re[row] + im[row] * im[row]);
  }
}

/**
 * Makes the function that adds the diffuse mean square of a candidate to what each row has.
 *
 * With distance r it is Σ p e^{−κr} over the frequencies, whose decays κ differ little: e^{−κ₀r} times the power series of the rest
 * needs one exponential a row instead of one a frequency.
 */
function diffuseAdder(parts: DiffuseParts, weight: Float64Array, rows: number) {
  const { mutual, units, own, distance, level, decay } = parts;
  const columns = weight.length;
  const power = new Float64Array(columns);
  const far = new Float64Array(rows);
  const left = new Float64Array(columns);
  const middle = (Math.max(...decay) + Math.min(...decay)) / 2;
  const farthest = distance.reduce((most, d) => d.reduce((m, x) => Math.max(m, x), most), 0);
  const reach = (farthest * (Math.max(...decay) - Math.min(...decay))) / 2;
  const moments = new Float64Array(termsFor(reach));
  return (genes: readonly Gene[], space: LayoutSpace, frequency: Float64Array, subs: Float64Array): void => {
    power.fill(0);
    far.fill(0);
    left.fill(0);
    let total = 0;
    for (const gene of genes) {
      total += own[unitOf(gene, space)] * 10 ** (space.gains[gene.gain] / 10);
    }
    for (let i = 0; i < genes.length; i++) {
      const a = genes[i];
      const u = unitOf(a, space);
      const gainA = 10 ** (space.gains[a.gain] / 20) * space.polarities[a.polarity];
      const fraction = (own[u] * gainA * gainA) / total;
      for (let row = 0; row < rows; row++) far[row] += fraction * distance[u][row];
      for (let f = 0; f < columns; f++) left[f] += fraction * level[u][f];
      for (let j = i; j < genes.length; j++) {
        const b = genes[j];
        const v = unitOf(b, space);
        const q = mutual[Math.min(u, v) * units + Math.max(u, v)];
        const gain = gainA * 10 ** (space.gains[b.gain] / 20) * space.polarities[b.polarity];
        const apart = 2 * Math.PI * (space.delays[a.delay] - space.delays[b.delay]);
        const twice = i === j ? 1 : 2;
        for (let f = 0; f < columns; f++) {
          power[f] += twice * gain * q[f] * Math.cos(apart * frequency[f]);
        }
      }
    }
    moments.fill(0);
    for (let f = 0; f < columns; f++) {
      let term = weight[f] * Math.max(0, power[f]) * left[f];
      for (let k = 0; k < moments.length; k++) {
        moments[k] += term;
        term *= (middle - decay[f]) / (k + 1);
      }
    }
    for (let row = 0; row < rows; row++) {
      const r = far[row];
      let sum = 0;
      for (let k = moments.length - 1; k >= 0; k--) sum = sum * r + moments[k];
      subs[row] += Math.exp(-middle * r) * sum;
    }
  };
}

/** Terms of the exponential series for arguments up to so much, to eleven digits. */
function termsFor(reach: number): number {
  let terms = 1;
  for (let term = 1; term > 1e-11 && terms < 200; terms++) term *= reach / terms;
  return terms;
}

/** What of the mains a trial needs: low band by frequency (weighted) and whole, mid band whole. */
export function mainsAt(context: LayoutContext, columns: number, options: LayoutContextOptions) {
  const { frequency, positions } = context;
  const { lowBand, midBand, targetTilt } = withDefaults(options);
  const low = bandWeights(
    frequency,
    span(coveredThirdOctaves(frequency, lowBand[0], lowBand[1], "the low band")),
  );
  const mid = bandWeights(
    frequency,
    span(coveredThirdOctaves(frequency, midBand[0], midBand[1], "the mid band")),
  );
  const re = new Float64Array(positions.length * columns);
  const im = new Float64Array(positions.length * columns);
  const whole = positions.map((_, i) => mainsWithFills(context, i));
  whole.forEach((r, row) => {
    for (let f = 0; f < columns; f++) {
      const w = low.weight[f] ?? 0;
      re[f * positions.length + row] = w * r.re[low.start + f];
      im[f * positions.length + row] = w * r.im[low.start + f];
    }
  });
  const meanIn = ({ start, weight }: typeof low) =>
    Float64Array.from(whole, (r) => {
      const p = power(r);
      return weight.reduce((sum, w, k) => sum + w * p[start + k], 0);
    });
  const midPower = meanIn(mid);
  const silent = midPower.findIndex((p) => !(p > 0));
  if (silent >= 0) {
    throw new RangeError(
      `the mains are silent in the mid band at "${positions[silent].id}": there is nothing to balance the subs with`,
    );
  }
  return {
    re,
    im,
    low: meanIn(low),
    mid: midPower,
    scale: midPower.map((p) => 1 / (p * 10 ** (targetTilt / 10))),
  };
}
