/** How strong the field is that a model lacks, at each place: as the model is there over an octave, without its own dips, and a little as on average. */
import { smoother } from "../acoustics/bands/smoothing";
import { power, type Response } from "../acoustics/response";
import { missingShares } from "./discrepancy";

/** Mean square at a place and a frequency, by their numbers, where a room strays by a factor of what is thought beforehand. */
export type MissingSquare = (place: number, n: number, stray: number) => number;

/** Of the responses of a group at all places; their diffuse part, which is such a field as well, is in it. */
export function missingSquare(responses: readonly Response[], isRoom: boolean): MissingSquare {
  const { frequency } = responses[0];
  const smooth = smoother(frequency, 1);
  const all = responses.map((r) => smooth(power({ ...r, diffuse: undefined })));
  const mean = new Float64Array(frequency.length);
  for (const powers of all) for (let n = 0; n < mean.length; n++) mean[n] += powers[n] / all.length;
  return (place, n, stray) => {
    const { everywhere, here } = missingShares(frequency[n], isRoom, stray);
    return everywhere * mean[n] + here * all[place][n] + (responses[place].diffuse?.[n] ?? 0);
  };
}
