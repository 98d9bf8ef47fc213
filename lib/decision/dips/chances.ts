/**
 * How often experiments on a model like these were right: from the evidence to probabilities.
 *
 * A drawing is never the venue. On simulated venues whose drawings were wrong as drawings are, what filled a dip in the model was taken
 * away in the venue itself; these are logistic curves through what came of it, by `scripts/causes-truth.ts fit`.
 */
import type { Evidence } from "./evidence";

/** Chances, 0…1, that what the evidence says is so. */
export interface Chances {
  /** For each element of the evidence, that without it less than half of the dip would be left. */
  readonly fills: readonly number[];
  /** That something which the file doesn't hold makes the dip. */
  readonly notInFile: number;
  /** That no element or more than a few would fill it. */
  readonly whole: number;
}

export function chancesOf(evidence: Evidence): Chances {
  const fills = evidence.filled.map((_, e) => chance(CURVES.fills, fillFeatures(evidence, e)));
  return {
    fills,
    notInFile: chance(CURVES.notInFile, missingFeatures(evidence)),
    whole: chance(CURVES.whole, wholeFeatures(evidence, fills)),
  };
}

/** What an element's chance goes by, after a constant. */
export function fillFeatures(evidence: Evidence, element: number): number[] {
  const { filled, predicted, shift, misfit, overall, count } = evidence;
  const { fraction } = filled[element];
  return [
    1,
    fraction,
    fraction * predicted,
    predicted,
    shift,
    misfit,
    Math.log(count),
    overall.predicted,
    overall.misfit,
    fraction * overall.predicted,
    fraction * overall.misfit,
  ];
}

/** What the chance that something isn't drawn goes by, after a constant. */
export const missingFeatures = ({ predicted, misfit, overall, count, byWaves }: Evidence): number[] => [
  1,
  predicted,
  misfit,
  Math.log(count),
  overall.misfit,
  Number(byWaves),
];

/** What the room's own chance goes by: how many elements would fill the dip, were each a throw for itself. */
export function wholeFeatures({ predicted, misfit }: Evidence, fills: readonly number[]): number[] {
  let counts = [1];
  for (const p of fills) {
    const next = new Array<number>(counts.length + 1).fill(0);
    counts.forEach((c, k) => {
      next[k] += c * (1 - p);
      next[k + 1] += c * p;
    });
    counts = next;
  }
  const many = counts.slice(FEW + 1).reduce((sum, c) => sum + c, 0);
  return [1, logit(counts[0] + many), Math.max(...fills, 0), predicted, misfit];
}

/** More elements than this, each of which fills a dip, are the room. */
export const FEW = 3;
/** Share of a dip that goes with an element which fills it. */
export const FILLS = 0.5;

const logit = (p: number): number => {
  const inside = Math.min(0.999, Math.max(0.001, p));
  return Math.log(inside / (1 - inside));
};

export const chance = (weights: readonly number[], features: readonly number[]): number =>
  1 / (1 + Math.exp(-features.reduce((sum, x, i) => sum + x * weights[i], 0)));

/** Fitted: see above. */
export const CURVES = {
  fills: [-1.298, 2.705, 3.866, -2.003, 0.109, 0.05, -0.345, -0.855, 0.272, 1.676, -0.936],
  notInFile: [-4.074, -3.153, 0.356, -0.587, 0.403, 1.496],
  whole: [-0.072, 0.461, -1.436, 1.212, -0.189],
};
