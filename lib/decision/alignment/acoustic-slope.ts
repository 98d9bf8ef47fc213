/**
 * The electric filter that gives a target acoustic slope.
 *
 * A loudspeaker has a slope of its own. What must follow the textbook through a crossover is the sound, that is the
 * loudspeaker's response times the filter's; so the filter to set is usually another one than the slope one wants.
 */
import type { Filter } from "../../acoustics/filters/filter";
import { filterResponse } from "../../acoustics/filters/response";
import type { Response } from "../../acoustics/response";
import { minimise } from "../../numeric/search";

export interface SlopeOptions {
  /** Frequencies in which to fit, hertz. Default: two octaves to either side of the target's corner. */
  readonly band?: readonly [number, number];
  /** Filters to try, by kind and order; the frequency is searched. Default all kinds and orders, and none. */
  readonly kinds?: readonly FilterKind[];
  /** The fit counts down to this level below the target's passband, dB. Default 24. */
  readonly depth?: number;
}

export interface FilterKind {
  readonly kind: "none" | "butterworth" | "bessel" | "linkwitz-riley";
  readonly order: number;
}

/** Plain data; every key carries its unit. */
export interface SlopeResult {
  /** Best first. */
  readonly choices: readonly SlopeChoice[];
  readonly reasons: readonly string[];
}

export interface SlopeChoice {
  /** The filter to set; null is none. */
  readonly filter: Filter | null;
  /** Gain that goes with it, dB. */
  readonly gain_db: number;
  /** Root mean square deviation of the acoustic level from the target slope. */
  readonly rms_db: number;
  /** Root mean square deviation of the phase from the wanted one, after the best delay and polarity. */
  readonly phase_deg: number;
}

/**
 * Electric filters whose product with a measured response comes nearest to a target acoustic slope.
 *
 * @param response  of the loudspeaker without the filter
 * @param target  the target acoustic slope, such as a Linkwitz-Riley lowpass
 * @param options  band, kinds and depth of the fit
 * @returns filters, best first, with the deviation that is left in level and phase
 * @throws RangeError when the band holds fewer than four frequencies, or the response is silent there
 * @source Linkwitz, Active crossover networks for noncoincident drivers, J. Audio Eng. Soc. 24 (1976): the acoustic slope is the product; check: tests/decision/alignment/acoustic-slope.test.ts
 */
export function electricFilterFor(
  response: Response,
  target: Extract<Filter, { type: "lowpass" | "highpass" }>,
  options: SlopeOptions = {},
): SlopeResult {
  const { band = [target.frequency / 4, target.frequency * 4], kinds = allKinds, depth = 24 } = options;
  const wanted = filterResponse(target, response.frequency);
  const used = Array.from(response.frequency, (_, i) => i).filter((i) => {
    const f = response.frequency[i];
    const level = 20 * Math.log10(Math.hypot(wanted.re[i], wanted.im[i]) || 1e-30);
    return f >= band[0] && f <= band[1] && level > -depth;
  });
  if (used.length < 4) {
    throw new RangeError(
      `the response has ${used.length} frequencies from ${band[0]} to ${band[1]} Hz within ${depth} dB of the target, expected at least 4`,
    );
  }
  const data = fitData(response, wanted, used);
  const choices = kinds.map((kind) => bestOfKind(kind, target, data)).sort((a, b) => a.rms_db - b.rms_db);
  return { choices, reasons: slopeReasons(choices, target) };
}

const allKinds: readonly FilterKind[] = [
  { kind: "none", order: 0 },
  ...[1, 2, 3, 4, 5, 6, 7, 8].map((order) => ({ kind: "butterworth", order }) as const),
  ...[2, 4, 8].map((order) => ({ kind: "linkwitz-riley", order }) as const),
  ...[2, 3, 4, 5, 6, 7, 8].map((order) => ({ kind: "bessel", order }) as const),
];

interface Factor {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

interface FitData {
  readonly frequency: Float64Array;
  /** Weights by the width of each point on the log frequency axis, summing to 1. */
  readonly weight: Float64Array;
  /** Target over response: what the filter has to be. */
  readonly level: Float64Array;
  readonly phase: Float64Array;
}

function fitData(response: Response, wanted: Factor, used: readonly number[]): FitData {
  const frequency = Float64Array.from(used, (i) => response.frequency[i]);
  const level = new Float64Array(used.length);
  const phase = new Float64Array(used.length);
  used.forEach((i, k) => {
    const size = Math.hypot(response.re[i], response.im[i]);
    if (!(size > 0 && size < Number.POSITIVE_INFINITY)) {
      throw new RangeError(
        `the response is ${size} at ${response.frequency[i].toPrecision(4)} Hz, expected a sound there`,
      );
    }
    level[k] = 20 * Math.log10(Math.hypot(wanted.re[i], wanted.im[i]) / size);
    phase[k] = Math.atan2(wanted.im[i], wanted.re[i]) - Math.atan2(response.im[i], response.re[i]);
  });
  const width = frequency.map((_, k) =>
    Math.log(frequency[Math.min(k + 1, used.length - 1)] / frequency[Math.max(k - 1, 0)]),
  );
  const total = width.reduce((sum, w) => sum + w, 0);
  return { frequency, weight: width.map((w) => w / total), level, phase };
}

function bestOfKind(
  { kind, order }: FilterKind,
  target: { readonly type: "lowpass" | "highpass"; readonly frequency: number },
  data: FitData,
): SlopeChoice {
  const described = (filter: Filter | null): SlopeChoice => {
    const response = filterResponse(filter ?? [], data.frequency);
    return { filter, ...levelDeviation(response, data), phase_deg: phaseDeviation(response, data) };
  };
  if (kind === "none") return described(null);
  const filterAt = (octaves: number) =>
    ({ kind, type: target.type, order, frequency: target.frequency * 2 ** octaves }) as Filter;
  const cost = (octaves: number) =>
    levelDeviation(filterResponse(filterAt(octaves), data.frequency), data).rms_db;
  return described(filterAt(minimise(cost, -2, 2, 0.25, 1e-5).x));
}

function levelDeviation({ re, im }: Factor, { weight, level }: FitData): { gain_db: number; rms_db: number } {
  const lacking = level.map((l, k) => l - 20 * Math.log10(Math.hypot(re[k], im[k])));
  const gain = lacking.reduce((sum, x, k) => sum + weight[k] * x, 0);
  const square = lacking.reduce((sum, x, k) => sum + weight[k] * (x - gain) ** 2, 0);
  return { gain_db: gain, rms_db: Math.sqrt(square) };
}

/** Phase that no delay and no polarity takes out: the delay that brings the phasors of the difference closest. */
function phaseDeviation({ re, im }: Factor, { frequency, weight, phase }: FitData): number {
  const difference = phase.map((p, k) => p - Math.atan2(im[k], re[k]));
  const resultant = (delay: number): [number, number] => {
    let x = 0;
    let y = 0;
    for (let k = 0; k < difference.length; k++) {
      const angle = difference[k] + 2 * Math.PI * frequency[k] * delay;
      x += weight[k] * Math.cos(angle);
      y += weight[k] * Math.sin(angle);
    }
    return [x, y];
  };
  // Only 0 and 180° may stay, so it is the real part that counts.
  const period = 1 / frequency[frequency.length - 1];
  const longest = 2 / frequency[0];
  const { x: delay } = minimise((d) => -Math.abs(resultant(d)[0]), -longest, longest, period / 16, 1e-8);
  const sign = resultant(delay)[0] < 0 ? Math.PI : 0;
  let square = 0;
  for (let k = 0; k < difference.length; k++) {
    const angle = difference[k] + 2 * Math.PI * frequency[k] * delay + sign;
    const wrapped = Math.atan2(Math.sin(angle), Math.cos(angle));
    square += weight[k] * wrapped * wrapped;
  }
  return (180 / Math.PI) * Math.sqrt(square);
}

function slopeReasons(choices: readonly SlopeChoice[], target: Filter): string[] {
  const [best] = choices;
  const name = (filter: Filter | null): string =>
    filter === null
      ? "no filter"
      : `a ${filter.kind} ${"type" in filter ? filter.type : ""}${"order" in filter ? ` of order ${filter.order}` : ""} at ${filter.frequency.toPrecision(3)} Hz`;
  return [
    `The sound comes nearest to ${name(target)} with ${name(best.filter)}: ${best.rms_db.toFixed(1)} dB and ${best.phase_deg.toFixed(0)}° are left.`,
    ...(best.rms_db > 1.5 ? ["More than that takes an equaliser as well, or another target."] : []),
  ];
}
