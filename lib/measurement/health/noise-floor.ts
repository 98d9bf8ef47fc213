/**
 * Is the signal far enough above the noise of the place? Judged from a recording without signal.
 */
import { thirdOctavePowers } from "../spectra/third-octave-powers";

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
 * Compares a recording without signal with one with signal, in third-octave bands.
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
  const span = { from, to };
  const quiet = thirdOctavePowers(noise, sampleRate, { ...span, name: "recording without signal" });
  const loud = thirdOctavePowers(signal, sampleRate, { ...span, name: "recording with signal" });
  const bands = quiet.map(({ band, power: floor }, i): BandNoise => {
    const both = loud[i].power;
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
