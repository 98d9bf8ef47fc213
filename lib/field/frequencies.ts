import { logGrid } from "../acoustics/bands/bands";

/**
 * The frequency grid of a model survey: 20 Hz to 16 kHz in equal steps of log frequency, 24.8 to the octave.
 *
 * A path difference of 10 m turns by a twelfth from one point to the next at 100 Hz, by two thirds at 800 Hz: the
 * combs of long paths are sampled, not drawn, above that.
 *
 * @returns 240 frequencies, hertz
 */
export function modelFrequencies(): Float64Array {
  return logGrid(20, 16000, 240);
}
