import { logGrid } from "../acoustics/bands";

/**
 * The frequency grid of a model survey: 20 Hz to 16 kHz in equal steps of log frequency, 24.8 to the octave.
 *
 * Fine enough for a path difference of 10 m at 100 Hz to move by a third of a turn from point to point.
 *
 * @returns 240 frequencies, hertz
 */
export function modelFrequencies(): Float64Array {
  return logGrid(20, 16000, 240);
}
