/**
 * What a source sends out: the complex pressure one metre before it on its axis, in free field.
 *
 * Level, gain, polarity, filters and delay all act here, so that every path from the source shares them.
 */
import { filterResponse } from "../acoustics/filters";
import type { LevelCurve, Source } from "../venue/venue";

/**
 * Drive of one source.
 *
 * @param source  a source of the venue
 * @param frequency  hertz
 * @returns complex pressure at 1 m on axis, pascals rms in a third octave, time convention e^{+jωt}
 */
export function drive(source: Source, frequency: Float64Array): { re: Float64Array; im: Float64Array } {
  const re = new Float64Array(frequency.length);
  const im = new Float64Array(frequency.length);
  for (let i = 0; i < frequency.length; i++) {
    const level = levelAt(source.level, frequency[i]) + source.gain;
    const magnitude = REFERENCE_PRESSURE * 10 ** (level / 20) * source.polarity;
    const turns = (frequency[i] * source.delay) % 1;
    re[i] = magnitude * Math.cos(2 * Math.PI * turns);
    im[i] = -magnitude * Math.sin(2 * Math.PI * turns);
  }
  for (const filter of source.filters) {
    const h = filterResponse(filter, frequency);
    for (let i = 0; i < re.length; i++) {
      const x = re[i];
      re[i] = x * h.re[i] - im[i] * h.im[i];
      im[i] = x * h.im[i] + im[i] * h.re[i];
    }
  }
  return { re, im };
}

const REFERENCE_PRESSURE = 20e-6;

function levelAt(curve: LevelCurve, frequency: number): number {
  return interpolateLog(curve.frequency, curve.level, frequency);
}

/** Straight lines between points over log frequency, constant outside. */
export function interpolateLog(at: readonly number[], value: readonly number[], frequency: number): number {
  const last = at.length - 1;
  if (frequency <= at[0]) return value[0];
  if (frequency >= at[last]) return value[last];
  let i = 0;
  while (at[i + 1] < frequency) i++;
  const t = Math.log(frequency / at[i]) / Math.log(at[i + 1] / at[i]);
  return value[i] + t * (value[i + 1] - value[i]);
}
