/**
 * What a source sends out: the complex pressure one metre before it on its axis, in free field.
 *
 * Level, gain, polarity, filters and delay all act here, so that every path from the source shares them.
 *
 * On its axis a source is as late as from its front, wherever its acoustic centre lies: what a sub's box makes early at the crossover, the
 * boxes of the mains make as early (a hang of 0.7 by 2.1 m sounds from 0.37 m ahead, a sub on the floor from 0.40 m), and theirs is in
 * no file.
 */

import { levelAt } from "../acoustics/bands/curve";
import { filterResponse } from "../acoustics/filters/response";
import { referencePressure } from "../acoustics/level/decibel";
import { type Complexes, longDelayFactor, multiply } from "../numeric/complexes";
import type { Source } from "../venue/venue";

/** Metres per second; the temperature changes the delay by microseconds. */
const STANDARD = 343.2;

/**
 * Drive of one source.
 *
 * @param source  a source of the venue
 * @param frequency  hertz
 * @returns complex pressure at 1 m on axis, pascals rms in a third-octave band, time convention e^{+jωt}
 */
export function drive(source: Source, frequency: Float64Array): Complexes {
  const sent = longDelayFactor(frequency, source.delay + (source.centre ?? 0) / STANDARD);
  for (let i = 0; i < frequency.length; i++) {
    const level = levelAt(source.level, frequency[i]) + source.gain;
    const magnitude = referencePressure * 10 ** (level / 20) * source.polarity;
    sent.re[i] *= magnitude;
    sent.im[i] *= magnitude;
  }
  for (const filter of source.filters) multiply(sent, filterResponse(filter, frequency));
  return sent;
}
