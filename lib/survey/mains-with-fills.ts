/**
 * Mains and fills at a position as one response: whoever listens there hears one system, and every decision sets the subs
 * relative to that.
 *
 * One rule. Where both have a phase their coherent parts add as complex numbers. Fills without a phase add by power: they
 * join what has no phase relation, `diffuse`, and so do fills with a phase beside mains without. Nothing is dropped.
 */
import type { Response } from "../acoustics/response";
import type { Survey } from "./survey";

/** Arrays to write into, one value per frequency, and where: what lies outside is not computed. */
export interface Within {
  readonly re: Float64Array;
  readonly im: Float64Array;
  readonly diffuse: Float64Array;
  /** Stretches of frequencies, by index. */
  readonly ranges: readonly { readonly start: number; readonly weight: { readonly length: number } }[];
}

/**
 * Mains with fills.
 *
 * @param survey  a survey; where it has no fills, its mains are returned as they are
 * @param row  which position, by index
 * @param within  for many positions in turn: some frequencies alone, in arrays that are used again, and without coherence
 * @returns the sum; its coherence is that of both with the noise of both, its averages the fewer of both
 */
export function mainsWithFills(
  survey: Pick<Survey, "mains" | "fills">,
  row: number,
  within?: Within,
): Response {
  const mains = survey.mains[row];
  const fills = survey.fills?.[row];
  if (!fills) return mains;
  const n = mains.frequency.length;
  const sum = within ?? {
    re: new Float64Array(n),
    im: new Float64Array(n),
    diffuse: new Float64Array(n),
    ranges: [{ start: 0, weight: { length: n } }],
  };
  const inPhase = !mains.magnitudeOnly && !fills.magnitudeOnly;
  for (const { start, weight } of sum.ranges) {
    for (let i = start; i < start + weight.length; i++) {
      sum.re[i] = mains.re[i] + (inPhase ? fills.re[i] : 0);
      sum.im[i] = mains.im[i] + (inPhase ? fills.im[i] : 0);
      sum.diffuse[i] =
        (mains.diffuse ? mains.diffuse[i] : 0) +
        (fills.diffuse ? fills.diffuse[i] : 0) +
        (inPhase ? 0 : fills.re[i] * fills.re[i] + fills.im[i] * fills.im[i]);
    }
  }
  const { re, im } = sum;
  return {
    frequency: mains.frequency,
    re,
    im,
    ...((mains.diffuse || fills.diffuse || !inPhase) && { diffuse: sum.diffuse }),
    ...(!within && certainty(mains, inPhase ? fills : undefined, re, im)),
    ...(mains.magnitudeOnly && { magnitudeOnly: true }),
  };
}

/**
 * What is incoherent in each, (1 − γ²)/γ² of its power, adds up beside the sum. A response without coherence counts as exact;
 * fills that add by power leave the coherence of the mains as it is, which is that of the coherent part.
 *
 * @source Bendat and Piersol, Random Data (4th edition), section 6.1: coherent output power
 */
function certainty(
  mains: Response,
  fills: Response | undefined,
  re: Float64Array,
  im: Float64Array,
): Pick<Response, "coherence" | "averages"> {
  if (!fills) {
    const { coherence, averages } = mains;
    return { ...(coherence && { coherence }), ...(averages && { averages }) };
  }
  if (!mains.coherence && !fills.coherence) return {};
  const incoherent = (r: Response, i: number) =>
    r.coherence
      ? ((r.re[i] ** 2 + r.im[i] ** 2) * (1 - r.coherence[i])) / Math.max(r.coherence[i], 1e-12)
      : 0;
  const coherence = re.map((x, i) => {
    const power = x * x + im[i] * im[i];
    const whole = power + incoherent(mains, i) + incoherent(fills, i);
    return whole > 0 ? power / whole : 0;
  });
  const a = mains.averages;
  const b = fills.averages;
  const averages = a && b ? a.map((x, i) => Math.min(x, b[i])) : (a ?? b);
  return averages ? { coherence, averages } : { coherence };
}
