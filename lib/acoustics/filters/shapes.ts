/**
 * Zeros, poles and gain of each kind of filter, for a corner or centre of 1 rad/s.
 */

import { requireInteger, requirePositive } from "../../guard/arguments";
import { decibelToAmplitude } from "../level/decibel";
import { besselPoles } from "./bessel";
import type { Complex, Filter } from "./filter";

export interface FilterShape {
  readonly zeros: readonly Complex[];
  readonly poles: readonly Complex[];
  readonly gain: number;
}

/**
 * Zeros, poles and gain of a filter whose corner or centre is moved to 1 rad/s.
 *
 * @param filter  any filter with a frequency
 * @returns its shape
 * @throws RangeError when order, frequency or Q is out of its range
 * @source Butterworth, Bessel: Zverev, Handbook of Filter Synthesis (from memory); Linkwitz-Riley: Linkwitz, Active crossover networks for noncoincident drivers, J. Audio Eng. Soc. 24 (1976), 2-8; peak, shelf, all-pass: W3C Audio EQ Cookbook, analog prototypes; check: tests/acoustics/filters/response.test.ts
 */
export function filterShape(filter: Filter): FilterShape {
  requirePositive(`frequency of the ${filter.kind} filter`, filter.frequency);
  switch (filter.kind) {
    case "butterworth":
      requireInteger("order of the butterworth filter", filter.order, 1, 8);
      return pass(butterworthPoles(filter.order), filter.type);
    case "bessel":
      requireInteger("order of the bessel filter", filter.order, 1, 8);
      return pass(besselPoles(filter.order, filter.normalisation ?? "magnitude"), filter.type);
    case "linkwitz-riley": {
      if (![2, 4, 8].includes(filter.order)) {
        throw new RangeError(`order of the linkwitz-riley filter is ${filter.order}, expected 2, 4 or 8`);
      }
      const half = butterworthPoles(filter.order / 2);
      return pass([...half, ...half], filter.type);
    }
    case "peak": {
      requirePositive("q of the peak filter", filter.q);
      const a = decibelToAmplitude(filter.gain / 2);
      return biquad(1, a / filter.q, 1, 1, 1 / (a * filter.q), 1);
    }
    case "low-shelf":
    case "high-shelf": {
      requirePositive(`q of the ${filter.kind} filter`, filter.q);
      const a = decibelToAmplitude(filter.gain / 2);
      const middle = Math.sqrt(a) / filter.q;
      return filter.kind === "low-shelf"
        ? biquad(a, a * middle, a * a, a, middle, 1)
        : biquad(a * a, a * middle, a, 1, middle, a);
    }
    case "all-pass": {
      if (filter.order === 1) return { zeros: [{ re: 1, im: 0 }], poles: [{ re: -1, im: 0 }], gain: -1 };
      requireInteger("order of the all-pass filter", filter.order, 1, 2);
      const q = filter.q ?? Math.SQRT1_2;
      requirePositive("q of the all-pass filter", q);
      return biquad(1, -1 / q, 1, 1, 1 / q, 1);
    }
    default:
      throw new RangeError(
        `filter kind is ${JSON.stringify((filter as Filter).kind)}, expected a known kind`,
      );
  }
}

/** Poles of a Butterworth lowpass: even steps on the left half of the unit circle, conjugates side by side. */
function butterworthPoles(order: number): Complex[] {
  const poles: Complex[] = [];
  for (let k = 0; k < Math.floor(order / 2); k++) {
    const angle = (Math.PI * (2 * k + 1)) / (2 * order);
    poles.push({ re: -Math.sin(angle), im: Math.cos(angle) }, { re: -Math.sin(angle), im: -Math.cos(angle) });
  }
  if (order % 2) poles.push({ re: -1, im: 0 });
  return poles;
}

/** A lowpass of unit gain at 0 from its poles, or the highpass that mirrors it on the log frequency axis. */
function pass(lowpassPoles: readonly Complex[], type: "lowpass" | "highpass"): FilterShape {
  if (type === "lowpass") {
    // The poles come in conjugate pairs, so the product of their negatives is that of their distances from 0.
    const gain = lowpassPoles.reduce((product, p) => product * Math.hypot(p.re, p.im), 1);
    return { zeros: [], poles: lowpassPoles, gain };
  }
  if (type !== "highpass")
    throw new RangeError(`filter type is ${JSON.stringify(type)}, expected lowpass or highpass`);
  const poles = lowpassPoles.map(({ re, im }) => {
    const square = re * re + im * im;
    return { re: re / square, im: -im / square };
  });
  return { zeros: poles.map(() => ({ re: 0, im: 0 })), poles, gain: 1 };
}

/** (b2 s² + b1 s + b0)/(a2 s² + a1 s + a0) */
function biquad(b2: number, b1: number, b0: number, a2: number, a1: number, a0: number): FilterShape {
  return { zeros: roots(b2, b1, b0), poles: roots(a2, a1, a0), gain: b2 / a2 };
}

/** Roots of a s² + b s + c, the smaller one of a real pair by Vieta so that it keeps its digits. */
function roots(a: number, b: number, c: number): Complex[] {
  const discriminant = b * b - 4 * a * c;
  if (discriminant < 0) {
    const im = Math.sqrt(-discriminant) / (2 * a);
    return [
      { re: -b / (2 * a), im },
      { re: -b / (2 * a), im: -im },
    ];
  }
  const larger = -(b + Math.sign(b) * Math.sqrt(discriminant)) / (2 * a);
  return [
    { re: larger, im: 0 },
    { re: c / (a * larger), im: 0 },
  ];
}
