/** Logistic curves through what came of the evidence. */
import { chance, FILLS, fillFeatures, missingFeatures, wholeFeatures } from "../../lib/decision/dips/chances";
import { cholesky, solveCholesky } from "../../lib/numeric/cholesky";
import { isWhole, type JudgedTrial } from "./trial";

/** The curves of `lib/decision/dips/chances.ts`, as text for there. */
export function fittedCurves(trials: readonly JudgedTrial[]): string {
  const fills = logistic(
    trials.flatMap(({ evidence, truth }) =>
      truth.map((t, e) => ({ x: fillFeatures(evidence, e), y: t >= FILLS })),
    ),
  );
  const curves = {
    fills,
    notInFile: logistic(
      trials.map(({ evidence, undrawn }) => ({ x: missingFeatures(evidence), y: undrawn >= FILLS })),
    ),
    whole: logistic(
      trials.map((t) => ({
        x: wholeFeatures(
          t.evidence,
          t.truth.map((_, e) => chance(fills, fillFeatures(t.evidence, e))),
        ),
        y: isWhole(t),
      })),
    ),
  };
  return Object.entries(curves)
    .map(([name, weights]) => `  ${name}: [${weights.map((w) => w.toFixed(3)).join(", ")}],`)
    .join("\n");
}

/** Most likely weights, held a little to 0, by Newton's method. */
function logistic(samples: readonly { readonly x: readonly number[]; readonly y: boolean }[]): number[] {
  const n = samples[0].x.length;
  let weights = new Array<number>(n).fill(0);
  for (let round = 0; round < 30; round++) {
    const slope = weights.map((w) => -HELD * w);
    const bend = new Float64Array(n * n);
    for (let i = 0; i < n; i++) bend[i * n + i] = HELD;
    for (const { x, y } of samples) {
      const p = chance(weights, x);
      x.forEach((a, i) => {
        slope[i] += a * (Number(y) - p);
        x.forEach((b, k) => {
          bend[i * n + k] += a * b * p * (1 - p);
        });
      });
    }
    const step = solveCholesky(cholesky(bend, n), n, Float64Array.from(slope));
    weights = weights.map((w, i) => w + step[i]);
    if (step.every((s) => Math.abs(s) < 1e-6)) break;
  }
  return weights;
}

const HELD = 0.5;
