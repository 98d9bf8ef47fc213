/**
 * The invented recording of a sweep: what a microphone picks up in a venue while a sweep plays through loudspeakers
 * that distort a little.
 */

import { modelSurvey } from "../field/model-survey";
import { requireWithin } from "../guard/arguments";
import { exponentialSweep, type Sweep } from "../measurement/signals/sweep";
import { fourierTransform, nextPowerOfTwo } from "../measurement/spectra/fft";
import { delayFactor, product } from "../numeric/complexes";
import { uniform } from "../numeric/random";
import type { NamedPoint, Venue } from "../venue/venue";
import { bins, finish, highest, rootMeanSquare, toSamples } from "./simulate-spectra";

export interface SimulateSweepOptions {
  /** Which loudspeakers play. Default "mains". */
  readonly group?: "mains" | "subs";
  /** Second and third harmonic of the loudspeakers, dB relative to the fundamental; −Infinity for none. Default −40 and −50. */
  readonly harmonics?: readonly [second: number, third: number];
  /** Noise of the microphone, dB below the sweep, −40 to 300. Default 45. */
  readonly noise?: number;
  /** Delay of the processing before the loudspeakers, seconds, 0 to 10. Default 0.0053. */
  readonly latency?: number;
  /** How long the recorder runs on after the sweep, seconds, 0 to 60. Default 1. */
  readonly rest?: number;
  /** The same seed gives the same noise. Default 1. */
  readonly seed?: number;
}

/**
 * Makes the recording of a sweep at one position: the model's direct sound and reflections, without a reverberant tail, from
 * loudspeakers that distort a little.
 *
 * The harmonics arise before the path to the microphone, and the path colours each at its own frequency.
 *
 * @param venue  what stands where
 * @param position  where the microphone stands, metres, such as one of `venue.positions`
 * @param sweep  what is played: frequencies in hertz, length in seconds; what lies beyond 20 Hz and 0.45 of the sample rate
 *   stays silent
 * @param options  which loudspeakers; harmonics and noise, dB; delay and rest, seconds; seed
 * @returns samples from the moment the sweep began, full scale 1, the same for the same seed
 * @throws RangeError when the sweep's frequencies do not rise or reach half the sample rate, or an option is out of its range
 * @source own way, no outside source; the sweep: Farina, AES 108th Convention (2000), preprint 5093, equation 3; check: tests/study/simulate-recordings.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const sweep = { from: 20, to: 640, seconds: 1, sampleRate: 2000 };
 * predict.sweep(hall, hall.positions[2], sweep, { group: "subs", rest: 0.5 }).length // 3000
 */
export function simulateSweep(
  venue: Venue,
  position: NamedPoint,
  sweep: Sweep,
  options: SimulateSweepOptions = {},
): Float64Array {
  const {
    group = "mains",
    harmonics = [-40, -50],
    noise = 45,
    latency = 0.0053,
    rest = 1,
    seed = 1,
  } = options;
  for (const each of harmonics) if (each !== -Infinity) requireWithin("harmonics, dB", each, -200, 20);
  requireWithin("noise", noise, -40, 300);
  requireWithin("latency in seconds", latency, 0, 10);
  requireWithin("rest in seconds", rest, 0, 60);
  const { sampleRate } = sweep;
  const played = distorted(exponentialSweep(sweep), harmonics);
  const length = played.length + Math.round(rest * sampleRate);
  const transform = fourierTransform(nextPowerOfTwo(length));
  const { first, frequency } = bins(transform.size, sampleRate);
  transform.re.fill(0);
  transform.im.fill(0);
  transform.re.set(played);
  transform.forward();
  const drive = {
    re: transform.re.slice(first, first + frequency.length),
    im: transform.im.slice(first, first + frequency.length),
  };
  const stand = { id: position.id, point: position.point, area: "microphones", people: 0 };
  const [response] = modelSurvey(venue, [stand], { frequency })[group];
  const arriving = product(product(response, drive), delayFactor(frequency, latency));
  const heard = toSamples(arriving, transform, first, 1).subarray(0, length);
  const floor = rootMeanSquare(heard) * 10 ** (-noise / 20);
  return finish(heard, 0.4 / highest(heard), floor, uniform(seed));
}

/**
 * A sine of amplitude 1 with harmonics: Chebyshev's polynomials make cos Nφ of cos φ. The constant in the second one is
 * left out, since no loudspeaker plays it.
 */
function distorted(samples: Float64Array, [second, third]: readonly [number, number]): Float64Array {
  const [a, b] = [10 ** (second / 20), 10 ** (third / 20)];
  return samples.map((x) => x + a * 2 * x * x + b * (4 * x ** 3 - 3 * x));
}
