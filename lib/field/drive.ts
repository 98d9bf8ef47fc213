/**
 * What a source sends out: the complex pressure one metre before it on its axis, in free field.
 *
 * Level, gain, polarity, filters and delay all act here, so that every path from the source shares them.
 */

import { levelAt } from "../acoustics/bands/curve";
import { filterResponse } from "../acoustics/filters/response";
import { referencePressure } from "../acoustics/level/decibel";
import { type Complexes, longDelayFactor, multiply } from "../numeric/complexes";
import type { Source } from "../venue/venue";

/**
 * Drive of one source.
 *
 * @param source  a source of the venue
 * @param frequency  hertz
 * @returns complex pressure at 1 m on axis, pascals rms in a third-octave band, time convention e^{+jωt}
 */
export function drive(source: Source, frequency: Float64Array): Complexes {
  const sent = longDelayFactor(frequency, source.delay);
  for (let i = 0; i < frequency.length; i++) {
    const level = levelAt(source.level, frequency[i]) + source.gain;
    const magnitude = referencePressure * 10 ** (level / 20) * source.polarity;
    sent.re[i] *= magnitude;
    sent.im[i] *= magnitude;
  }
  for (const filter of source.filters) multiply(sent, filterResponse(filter, frequency));
  return sent;
}
