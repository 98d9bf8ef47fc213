/** How strong the field is that a model lacks, at each place: as the model is around there over an octave, without its own pattern of louder and softer spots, and a little as on average. */
import { smoother } from "../acoustics/bands/smoothing";
import { distance, type Point } from "../acoustics/point";
import { power, type Response } from "../acoustics/response";
import { FIELD_BELOW, missingShares, PATTERN } from "./discrepancy";

/** Mean square at a place and a frequency below `FIELD_BELOW`, by their numbers, where a room strays by a factor of what is thought beforehand. */
export type MissingSquare = (place: number, n: number, stray: number) => number;

/**
 * Of the responses of a group at all places; their diffuse part, which is such a field as well, is in it.
 *
 * @param points  where the places are
 */
export function missingSquare(
  responses: readonly Response[],
  points: readonly Point[],
  isRoom: boolean,
): MissingSquare {
  const { frequency } = responses[0];
  const smooth = smoother(frequency, 1);
  const count = frequency.filter((f) => f < FIELD_BELOW).length;
  const all = around(
    points,
    responses.map((r) => smooth(power({ ...r, diffuse: undefined })).subarray(0, count)),
  );
  const mean = total(all).map((sum) => sum / all.length);
  return (place, n, stray) => {
    const { everywhere, here } = missingShares(frequency[n], isRoom, stray);
    return everywhere * mean[n] + here * all[place][n] + (responses[place].diffuse?.[n] ?? 0);
  };
}

/**
 * Means of levels over the places around each, with the same power over all of them: where the model's paths happen to meet, those of the
 * room needn't.
 */
function around(points: readonly Point[], powers: readonly Float64Array[]): Float64Array[] {
  const levels = powers.map((p) => p.map((x) => Math.log(x + 1e-300)));
  const smooth = points.map((here) => {
    const sum = new Float64Array(levels[0].length);
    let weights = 0;
    points.forEach((there, i) => {
      const away = distance(here, there) / PATTERN;
      if (away > 3) return;
      const weight = Math.exp(-0.5 * away * away);
      weights += weight;
      const own = levels[i];
      for (let n = 0; n < sum.length; n++) sum[n] += weight * own[n];
    });
    return sum.map((x) => Math.exp(x / weights));
  });
  const [before, after] = [total(powers), total(smooth)];
  return smooth.map((p) => p.map((x, n) => (after[n] > 0 ? (x * before[n]) / after[n] : 0)));
}

function total(powers: readonly Float64Array[]): Float64Array {
  const sum = new Float64Array(powers[0].length);
  for (const p of powers) for (let n = 0; n < sum.length; n++) sum[n] += p[n];
  return sum;
}
