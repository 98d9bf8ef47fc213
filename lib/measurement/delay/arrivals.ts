/**
 * Arrivals in an impulse response of limited band, one after the other.
 *
 * The strongest is found, the shape that a single arrival has in this band is subtracted there, and the search goes
 * on in what is left: so side lobes are not taken for arrivals, and two close together both show.
 *
 * @source Högbom, Aperture synthesis with a non-regular distribution of interferometer baselines, Astron. Astrophys.
 * Suppl. 15 (1974): successive subtraction of the point response
 */
import { kernelAt, sampleAt } from "../signals/interpolate-samples";

/** Analytic impulse response: the response and its Hilbert transform. */
export interface AnalyticResponse {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

export interface Arrival {
  /** Index into the response, samples, not whole. */
  readonly index: number;
  readonly re: number;
  readonly im: number;
  /** Height of the envelope. */
  readonly height: number;
}

/**
 * Finds arrivals in order of height.
 *
 * @param response  analytic impulse response; changed: what stays is the part not explained
 * @param shape  analytic response of a single arrival of height 1, its centre at `centre`
 * @param centre  index of the shape's peak
 * @param count  at most so many
 * @param floor  stop below this height, as a share of the strongest
 */
export function findArrivals(
  response: AnalyticResponse,
  shape: AnalyticResponse,
  centre: number,
  count: number,
  floor: number,
): Arrival[] {
  const found: Arrival[] = [];
  while (found.length < count) {
    const next = highest(response);
    if (!(next.height > 0) || (found.length > 0 && next.height < floor * found[0].height)) break;
    found.push(next);
    subtract(response, shape, centre, next);
  }
  return found;
}

function highest({ re, im }: AnalyticResponse): Arrival {
  let top = 0;
  let best = -1;
  for (let i = 0; i < re.length; i++) {
    const square = re[i] * re[i] + im[i] * im[i];
    if (square > best) {
      best = square;
      top = i;
    }
  }
  return refine({ re, im }, top);
}

/** Golden-section search for the envelope's maximum between the neighbours of a sample. */
function refine({ re, im }: AnalyticResponse, top: number): Arrival {
  const at = (index: number): Arrival => {
    const a = sampleAt(re, index);
    const b = sampleAt(im, index);
    return { index, re: a, im: b, height: Math.hypot(a, b) };
  };
  const golden = (Math.sqrt(5) - 1) / 2;
  let low = top - 1;
  let high = top + 1;
  let a = at(high - golden * (high - low));
  let b = at(low + golden * (high - low));
  while (high - low > 1e-4) {
    if (a.height > b.height) {
      high = b.index;
      b = a;
      a = at(high - golden * (high - low));
    } else {
      low = a.index;
      a = b;
      b = at(low + golden * (high - low));
    }
  }
  return at((low + high) / 2);
}

/** Takes a shape away at a place between samples; the interpolator's weights are the same for every sample. */
function subtract(response: AnalyticResponse, shape: AnalyticResponse, centre: number, at: Arrival): void {
  const whole = Math.round(at.index);
  const weights = kernelAt(whole - at.index);
  const half = (weights.length - 1) / 2;
  const from = Math.max(0, whole - centre);
  const to = Math.min(response.re.length - 1, whole + centre);
  for (let i = from; i <= to; i++) {
    const middle = i - whole + centre;
    let a = 0;
    let b = 0;
    const first = Math.max(0, half - middle);
    const last = Math.min(2 * half, shape.re.length - 1 - middle + half);
    for (let j = first; j <= last; j++) {
      a += weights[j] * shape.re[middle + j - half];
      b += weights[j] * shape.im[middle + j - half];
    }
    response.re[i] -= at.re * a - at.im * b;
    response.im[i] -= at.re * b + at.im * a;
  }
}
