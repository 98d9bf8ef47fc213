/** Which of the test signals a recorded channel holds, by correlation. */
import { convolve } from "../../lib/measurement/spectra/convolve";
import { type SignalKind, signalKinds, testSignal } from "./signals";

export interface Recognised {
  readonly kind: SignalKind;
  /** Where in the recording the signal's own file would begin, seconds. */
  readonly start: number;
  /** Correlation coefficient there, 0 to 1; a direct copy has 1, a microphone in a room less. */
  readonly likeness: number;
}

/**
 * @param samples     a channel
 * @param sampleRate  hertz
 * @returns the signal as `npm run signals` makes it by default, or nothing where the channel holds none of them
 */
export function recogniseSignal(samples: Float64Array, sampleRate: number): Recognised | undefined {
  const found = signalKinds.flatMap((kind) => {
    const { samples: whole } = testSignal(kind, { sampleRate });
    // Of the noise one period is looked for, since however much of it was recorded.
    const skip = Math.round((kind === "noise" ? 2.5 : 1.5) * sampleRate);
    const template = differences(whole.subarray(skip, skip + Math.round(PIECE[kind] * sampleRate)));
    const { at, likeness } = bestMatch(differences(samples), template);
    return likeness > LEAST[kind] ? [{ kind, start: (at - skip) / sampleRate, likeness }] : [];
  });
  return found.sort((a, b) => b.likeness - a.likeness)[0];
}

/** Seconds of each signal that are looked for. */
const PIECE: { readonly [kind in SignalKind]: number } = { noise: 4, sweep: 10, polarity: 3 };
/** Of unrelated noise the highest of a million coefficients over a second or more stays below 0.05. */
const LEAST: { readonly [kind in SignalKind]: number } = { noise: 0.1, sweep: 0.1, polarity: 0.3 };

/** What rises with frequency weighs the highs of pink signals like their lows, so that only one lag fits. */
function differences(x: Float64Array): Float64Array {
  return Float64Array.from({ length: Math.max(0, x.length - 1) }, (_, n) => x[n + 1] - x[n]);
}

/** Where a template fits best, by the coefficient of correlation with the stretch of its own length. */
function bestMatch(x: Float64Array, template: Float64Array): { at: number; likeness: number } {
  const total = x.reduce((sum, v) => sum + v * v, 0);
  if (x.length < template.length || total === 0) return { at: 0, likeness: 0 };
  // What is turned round and convolved is correlated.
  const products = convolve(x, template.slice().reverse()).subarray(template.length - 1);
  const own = template.reduce((sum, v) => sum + v * v, 0);
  let energy = 0;
  for (let n = 0; n < template.length; n++) energy += x[n] * x[n];
  let best = { at: 0, likeness: 0 };
  for (let at = 0; at + template.length <= x.length; at++) {
    // What is all but silent correlates by chance.
    const floor = 1e-3 * total * (template.length / x.length);
    const likeness = Math.abs(products[at]) / Math.sqrt(own * Math.max(energy, floor, 1e-300));
    if (likeness > best.likeness) best = { at, likeness };
    energy += (x[at + template.length] ?? 0) ** 2 - x[at] ** 2;
  }
  return best;
}
