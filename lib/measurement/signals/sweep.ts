/**
 * Exponential sweeps: a test signal, and the impulse response with the harmonic distortion that it sets apart.
 */
import { requirePositive, requireWithin } from "../../guard/arguments";
import { convolve } from "../spectra/convolve";

export interface Sweep {
  /** First frequency, hertz, > 0. */
  readonly from: number;
  /** Last frequency, hertz: above the first, below half the sample rate. */
  readonly to: number;
  /** Length, seconds, 0.01 to 120. */
  readonly seconds: number;
  /** hertz, 1000 to 400 000 */
  readonly sampleRate: number;
  /** Fade at either end, seconds; short, so that the spectrum stays even. Default 0.01. */
  readonly fade?: number;
}

/**
 * A sweep whose frequency rises by equal ratios in equal times.
 *
 * @param sweep  its limits, hertz, and length, seconds
 * @returns samples, amplitude 1
 * @throws RangeError when the limits are not in order or reach half the sample rate
 * @source Farina, Simultaneous measurement of impulse response and distortion with a swept-sine technique, AES 108th
 * Convention (2000), preprint 5093, equation 3
 */
export function exponentialSweep(sweep: Sweep): Float64Array {
  requireSweep(sweep);
  const { from, seconds, sampleRate, fade = 0.01 } = sweep;
  const rate = timeConstant(sweep);
  const length = Math.round(seconds * sampleRate);
  const ramp = Math.max(1, Math.round(fade * sampleRate));
  return Float64Array.from({ length }, (_, n) => {
    const phase = 2 * Math.PI * from * rate * Math.expm1(n / sampleRate / rate);
    const edge = Math.min(1, Math.min(n, length - 1 - n) / ramp);
    return Math.sin(phase) * Math.sin((Math.PI / 2) * edge) ** 2;
  });
}

/** What a sweep's recording says: impulse responses of each order, one after the other in time. */
export interface SweepResponse {
  /** hertz */
  readonly sampleRate: number;
  /** Impulse response, samples, time 0 at index `origin`: the linear part from there on, harmonic ones before it. */
  readonly impulse: Float64Array;
  /** Index of time 0, when the sweep began. */
  readonly origin: number;
  /** Seconds by which the part of harmonic order 2, 3 … precedes the linear one. */
  lead(order: number): number;
  /**
   * Impulse response of one order, cut out: 1 is the linear part, 2 the second harmonic, and so on.
   *
   * @param order  1 or more
   * @param seconds  longest piece; it is shorter where the next order begins
   * @returns samples from up to 50 ms before that order's arrival of delay 0, where the band's edges ring, and the
   * index of delay 0 among them
   */
  part(order: number, seconds?: number): { readonly samples: Float64Array; readonly origin: number };
}

/**
 * Impulse response from the recording of an exponential sweep, with harmonic distortion apart from it.
 *
 * The recording is convolved with the sweep reversed in time and falling by 6 dB per octave, which takes the
 * sweep's colour out. Harmonic distortion of order N ends up earlier by L ln N, L being the time in which the
 * frequency grows e-fold; so linear response and distortion lie apart.
 *
 * @param recording  samples, from the moment the sweep began, at the sweep's sample rate
 * @param sweep  the sweep that was played: frequencies in hertz, length in seconds
 * @returns impulse response, gain 1 for a recording that equals the sweep (within the sweep's band)
 * @throws RangeError when the recording is shorter than the sweep, or the sweep's frequencies do not rise or reach half the
 *   sample rate
 * @source Farina, Simultaneous measurement of impulse response and distortion with a swept-sine technique, AES 108th Convention (2000), preprint 5093, section 3; check: tests/measurement/signals/sweep.test.ts
 * @example
 * const sweep = { from: 20, to: 640, seconds: 1, sampleRate: 2000 }; // 5 octaves, 0.2 s for each
 * const hall = read.venue("pennavoe-assembly-hall");
 * const recording = predict.sweep(hall, hall.positions[2], sweep, { rest: 0.5 });
 * measure.sweep(recording, sweep).lead(2) // 0.20
 */
export function deconvolveSweep(recording: Float64Array, sweep: Sweep): SweepResponse {
  requireSweep(sweep);
  const { sampleRate } = sweep;
  const played = exponentialSweep(sweep);
  if (recording.length < played.length) {
    throw new RangeError(
      `recording has ${recording.length} samples and the sweep ${played.length}: let it run on for the room's decay`,
    );
  }
  const rate = timeConstant(sweep);
  // The sweep's spectrum has |X|² = L fs² / (4 f); times the rising weight f / from it is even: this brings it to 1.
  const gain = (4 * sweep.from) / (rate * sampleRate ** 2);
  const length = played.length;
  const inverse = Float64Array.from(
    { length },
    (_, n) => gain * played[length - 1 - n] * Math.exp((length - 1 - n) / sampleRate / rate),
  );
  const impulse = convolve(recording, inverse);
  const origin = length - 1;
  const lead = (order: number) => {
    requireWithin("harmonic order", order, 1, 100);
    return rate * Math.log(order);
  };
  return {
    sampleRate,
    impulse,
    origin,
    lead,
    part(order, longest = 1) {
      const start = origin - Math.round(lead(order) * sampleRate);
      const gapAfter = order === 1 ? longest : lead(order) - lead(order - 1);
      const margin = Math.round(Math.min(0.1 * (lead(order + 1) - lead(order)), 0.05) * sampleRate);
      const end = Math.min(start + Math.round(Math.min(longest, gapAfter) * sampleRate), impulse.length);
      const first = Math.max(0, start - margin);
      return { samples: impulse.slice(first, Math.max(first, end - margin)), origin: start - first };
    },
  };
}

/** Time in which the frequency grows e-fold, seconds. */
function timeConstant({ from, to, seconds }: Sweep): number {
  return seconds / Math.log(to / from);
}

function requireSweep({ from, to, seconds, sampleRate, fade = 0.01 }: Sweep): void {
  requireWithin("sample rate", sampleRate, 1000, 400_000);
  requirePositive("sweep's first frequency", from);
  requireWithin("sweep's length in seconds", seconds, 0.01, 120);
  requireWithin("sweep's fade in seconds", fade, 0, seconds / 2);
  if (!(to > from && to < sampleRate / 2)) {
    throw new RangeError(
      `sweep runs from ${from} to ${to} Hz, expected rising and below half the sample rate, ${sampleRate / 2} Hz`,
    );
  }
}
