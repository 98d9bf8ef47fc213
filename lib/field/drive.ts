/**
 * What a source sends out: the complex pressure one metre before it on its axis, in free field.
 *
 * Level, gain, polarity, filters and delay all act here, so that every path from the source shares them.
 */

import { levelAt } from "../acoustics/bands/curve";
import { filterResponse } from "../acoustics/filters/response";
import { referencePressure } from "../acoustics/level/decibel";
import type { Source } from "../venue/venue";

/**
 * Drive of one source.
 *
 * @param source  a source of the venue
 * @param frequency  hertz
 * @returns complex pressure at 1 m on axis, pascals rms in a third-octave band, time convention e^{+jωt}
 */
export function drive(source: Source, frequency: Float64Array): { re: Float64Array; im: Float64Array } {
  const re = new Float64Array(frequency.length);
  const im = new Float64Array(frequency.length);
  for (let i = 0; i < frequency.length; i++) {
    const level = levelAt(source.level, frequency[i]) + source.gain;
    const magnitude = referencePressure * 10 ** (level / 20) * source.polarity;
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
