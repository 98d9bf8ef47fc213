/** Which of the test signals a recorded channel holds, by correlation. */
import { convolve } from "../../lib/measurement/spectra/convolve";
import { type SignalKind, signalKinds, testSignal } from "./signals";

export interface Recognised {
  readonly kind: SignalKind;
  /** Correlation coefficient of the differences, 0 to 1: of a microphone in a room 0.1 to 0.8. */
  readonly likeness: number;
  /** Whether it is the signal itself, as a loop-back or a console's output gives it, and not what a microphone heard of it. */
  readonly isCopy: boolean;
}

/**
 * Which signal, as `npm run signals` makes it by default, some seconds of a recording hold.
 *
 * @param samples     a channel while it sounds; three seconds from its middle are looked for in each signal
 * @param sampleRate  hertz
 * @returns nothing where the channel holds none of them
 */
export function recogniseSignal(samples: Float64Array, sampleRate: number): Recognised | undefined {
  const length = Math.round(PIECE * sampleRate);
  const start = Math.max(0, Math.floor((samples.length - length) / 2));
  const piece = samples.slice(start, start + length);
  if (piece.length < length || piece.every((x) => x === 0)) return undefined;
  const found = signalKinds.flatMap((kind) => {
    const signal = soundingPart(kind, sampleRate, length);
    const { at, likeness } = bestMatch(differences(signal), differences(piece));
    if (!(likeness > LEAST[kind])) return [];
    // Half a sample between the two lowers the likeness of differences, and hardly that of what falls with frequency.
    const plain = Math.max(...[-1, 0, 1].map((step) => alikeness(signal, piece, at + step)));
    return [{ kind, likeness, isCopy: plain > COPY }];
  });
  return found.sort((a, b) => b.likeness - a.likeness)[0];
}

/** Seconds of the recording that are looked for. */
const PIECE = 3;
/** Of unrelated noise the highest of a million coefficients over a second or more stays below 0.05. */
const LEAST: { readonly [kind in SignalKind]: number } = { noise: 0.1, sweep: 0.1, polarity: 0.3 };
/** Half a sample between the two leaves 0.94 of pink noise, a loudspeaker's own response and its room less than 0.8. */
const COPY = 0.9;

const parts = new Map<string, Float64Array>();

/** All of a signal that is different: of noise and pulses, which repeat, a period and as much more as is looked for. */
function soundingPart(kind: SignalKind, sampleRate: number, length: number): Float64Array {
  const key = `${kind} ${sampleRate}`;
  const known = parts.get(key);
  if (known) return known;
  const { samples } = testSignal(kind, { sampleRate });
  const skip = Math.round((kind === "noise" ? 2.5 : 1.5) * sampleRate);
  const period = {
    noise: 2 ** Math.ceil(Math.log2(5 * sampleRate)),
    sweep: samples.length,
    polarity: sampleRate,
  };
  const part = samples.slice(skip, skip + period[kind] + length);
  parts.set(key, part);
  return part;
}

/** What rises with frequency weighs the highs of pink signals like their lows, so that only one lag fits. */
function differences(x: Float64Array): Float64Array {
  return Float64Array.from({ length: Math.max(0, x.length - 1) }, (_, n) => x[n + 1] - x[n]);
}

/** Size of the coefficient of correlation with the stretch that begins there. */
function alikeness(x: Float64Array, template: Float64Array, at: number): number {
  let [xx, yy, xy] = [0, 0, 0];
  template.forEach((y, n) => {
    const value = x[at + n] ?? 0;
    xx += value * value;
    yy += y * y;
    xy += value * y;
  });
  return xx > 0 && yy > 0 ? Math.abs(xy) / Math.sqrt(xx * yy) : 0;
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
