/**
 * A recording's power in third-octave bands.
 */
import { type Band, thirdOctaves } from "../../acoustics/bands/bands";
import { defaultWindowLength } from "../transfer/transfer-function";
import { averagedSpectra } from "./averaged";

export interface BandPower {
  readonly band: Band;
  /** Mean square within the band, unit of the samples squared. */
  readonly power: number;
}

/**
 * Mean square per third-octave band, by Welch's method under a Hann window.
 *
 * @param samples  one channel
 * @param sampleRate  hertz
 * @param options  lowest and highest mid-band, hertz (25 Hz to 16 kHz unless said, at most 0.4 of the sample rate), and a
 *   name for what is wrong with the recording
 * @throws RangeError when the recording is shorter than one window
 * @source Welch (1967); check: scipy.signal.welch, tests/measurement/health/microphones.test.ts
 */
export function thirdOctavePowers(
  samples: Float64Array,
  sampleRate: number,
  {
    from = 25,
    to = 16000,
    name = "recording",
  }: { readonly from?: number; readonly to?: number; readonly name?: string } = {},
): BandPower[] {
  const density = densityOf(samples, sampleRate, name);
  return thirdOctaves(from, Math.min(to, 0.4 * sampleRate)).map((band) => ({
    band,
    power: powerWithin(density, band.lower, band.upper, sampleRate),
  }));
}

/** Mean square per bin, single-sided, so that the sum over all bins is the recording's mean square. */
function densityOf(samples: Float64Array, sampleRate: number, name: string): Float64Array {
  const windowLength = defaultWindowLength(sampleRate);
  const { reference, segments } = averagedSpectra(samples, [samples], { windowLength, overlap: 0.5 });
  if (segments === 0) {
    throw new RangeError(`the ${name} has ${samples.length} samples, expected ${windowLength} or more`);
  }
  // A Hann window's mean square is 3/8.
  return reference.map((power) => (2 * power) / (segments * windowLength ** 2 * 0.375));
}

/** Sum over a band; a bin on its edge counts by the fraction of it inside. */
function powerWithin(density: Float64Array, lower: number, upper: number, sampleRate: number): number {
  const step = sampleRate / (2 * (density.length - 1));
  let sum = 0;
  for (let k = 1; k < density.length - 1; k++) {
    const fraction = Math.min(upper / step, k + 0.5) - Math.max(lower / step, k - 0.5);
    if (fraction > 0) sum += fraction * density[k];
  }
  return sum;
}
