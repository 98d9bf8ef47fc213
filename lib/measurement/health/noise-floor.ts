/**
 * Is the signal far enough above the noise of the place? Judged from a recording without signal.
 */
import { moreLevel } from "../../text/more-level";
import { thirdOctavePowers } from "../spectra/third-octave-powers";

export interface NoiseCheck {
  /** One entry per third-octave band, ascending. */
  readonly bands: readonly BandNoise[];
  /** True when the signal is far enough above the noise in every band. */
  readonly pass: boolean;
  /** Which bands have not, in one sentence; empty when all pass. */
  readonly message: string;
}

export interface BandNoise {
  /** Nominal mid-band frequency, hertz. */
  readonly frequency: number;
  /** Level of the band without signal, dB re an RMS value of 1 (full scale, or pascals if scaled). */
  readonly noise: number;
  /** The same with signal. */
  readonly signal: number;
  /** Level of the signal alone above the noise, dB; −Infinity where the recording with signal is no louder. */
  readonly room: number;
  /** Coherence that this noise would leave, were it the only trouble, 0…1. */
  readonly coherence: number;
  /** Whether `room` is enough. */
  readonly pass: boolean;
}

/**
 * How far a signal is above the noise floor, from a recording without signal and one with, in third-octave bands.
 *
 * @param noise  samples without signal, the same gain and microphone position
 * @param signal  samples with signal (and the same noise)
 * @param sampleRate  hertz
 * @param options  lowest and highest band, hertz (25 to 16 000 by default), and how far above is enough, dB (10 by default)
 * @returns levels, dB, and coherence per band; which bands fail
 * @throws RangeError when a recording is shorter than one window, about a third of a second
 * @source coherence of a signal-to-noise ratio: Bendat and Piersol, Random Data (4th edition), section 6.1.4; 10 dB: common practice, no source; check: tests/measurement/health/microphones.test.ts
 * @example
 * const noise = Float64Array.from({ length: 48000 }, () => 0.01 * (Math.random() - 0.5));
 * const signal = noise.map((v) => 11 * v); // 121 times the power: 120 of signal, 1 of noise
 * measure.noiseFloor(noise, signal, 48000, { from: 63, to: 80 }).bands[0].room // 20.8
 */
export function checkNoiseFloor(
  noise: Float64Array,
  signal: Float64Array,
  sampleRate: number,
  {
    from = 25,
    to = 16000,
    enough = 10,
  }: {
    /** Lowest nominal third octave, hertz. Default 25. */
    readonly from?: number;
    /** Highest nominal third octave, hertz. Default 16 000; at most 0.4 of the sample rate. */
    readonly to?: number;
    /** By how much the signal should be above the noise, dB. Default 10, which leaves a coherence of 0.91. */
    readonly enough?: number;
  } = {},
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
      : `the signal is less than ${enough} dB above the noise at ${failing.map((b) => b.frequency).join(", ")} Hz: ${moreLevel}, or leave these bands out`;
  return { bands, pass: failing.length === 0, message };
}
