/**
 * Is the signal far enough above the noise of the place? Judged from a recording without signal.
 */
import { thirdOctaves } from "../acoustics/bands";
import { averageSpectra } from "./spectra";
import { defaultWindowLength } from "./transfer-function";

export interface NoiseCheck {
  readonly bands: readonly BandNoise[];
  /** True when every band has room enough. */
  readonly pass: boolean;
  /** Which bands have not, in one sentence; empty when all pass. */
  readonly message: string;
}

export interface BandNoise {
  /** Nominal mid-band frequency, hertz. */
  readonly frequency: number;
  /** Level of the band without and with signal, dB re an effective value of 1 (full scale, or pascals if scaled). */
  readonly noise: number;
  readonly signal: number;
  /** Level of the signal alone above the noise, dB; −Infinity where the recording with signal is no louder. */
  readonly room: number;
  /** Coherence that this noise would leave, were it the only trouble. */
  readonly coherence: number;
  readonly pass: boolean;
}

/**
 * Compares a recording without signal with one with signal, in third octaves.
 *
 * @param noise  samples without signal, the same gain and place
 * @param signal  samples with signal (and the same noise)
 * @param sampleRate  hertz
 * @param options  band of frequencies, hertz (25 Hz to 16 kHz unless said), and the room that is enough, dB (10 unless
 * said: coherence 0.91; common practice, no source)
 * @throws RangeError when a recording is shorter than one window
 * @source coherence of a signal-to-noise ratio: Bendat and Piersol, Random Data (4th edition), section 6.1.4
 */
export function checkNoiseFloor(
  noise: Float64Array,
  signal: Float64Array,
  sampleRate: number,
  {
    from = 25,
    to = 16000,
    enough = 10,
  }: { readonly from?: number; readonly to?: number; readonly enough?: number } = {},
): NoiseCheck {
  const quiet = densityOf(noise, sampleRate, "without signal");
  const loud = densityOf(signal, sampleRate, "with signal");
  const bands = thirdOctaves(from, Math.min(to, 0.4 * sampleRate)).map((band): BandNoise => {
    const floor = powerWithin(quiet, band.lower, band.upper, sampleRate);
    const both = powerWithin(loud, band.lower, band.upper, sampleRate);
    const ratio = floor > 0 ? Math.max(0, both / floor - 1) : Infinity;
    const room = 10 * Math.log10(ratio);
    return {
      frequency: band.nominal,
      noise: 10 * Math.log10(floor),
      signal: 10 * Math.log10(both),
      room,
      coherence: ratio === Infinity ? 1 : ratio / (1 + ratio),
      pass: room >= enough,
    };
  });
  const failing = bands.filter((b) => !b.pass);
  const message =
    failing.length === 0
      ? ""
      : `the signal is less than ${enough} dB above the noise at ${failing.map((b) => b.frequency).join(", ")} Hz: play louder, average longer, or leave these bands out`;
  return { bands, pass: failing.length === 0, message };
}

/** Mean square per bin, single-sided, so that the sum over all bins is the recording's mean square. */
function densityOf(samples: Float64Array, sampleRate: number, which: string): Float64Array {
  const windowLength = defaultWindowLength(sampleRate);
  const average = averageSpectra(1, { windowLength, overlap: 0.5 });
  average.feed(samples, [samples]);
  const { reference, segments } = average.result();
  average.close();
  if (segments === 0) {
    throw new RangeError(
      `the recording ${which} has ${samples.length} samples, expected ${windowLength} or more`,
    );
  }
  // A Hann window's mean square is 3/8.
  return reference.map((power) => (2 * power) / (segments * windowLength ** 2 * 0.375));
}

/** Sum over a band; a bin on its edge counts by the share of it inside. */
function powerWithin(density: Float64Array, lower: number, upper: number, sampleRate: number): number {
  const step = sampleRate / (2 * (density.length - 1));
  let sum = 0;
  for (let k = 1; k < density.length - 1; k++) {
    const share = Math.min(upper / step, k + 0.5) - Math.max(lower / step, k - 0.5);
    if (share > 0) sum += share * density[k];
  }
  return sum;
}
