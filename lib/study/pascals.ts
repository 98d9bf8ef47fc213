/**
 * From ratios to pascals: with a calibrator's tone on one microphone, and all of them matched, a level is absolute.
 */
import type { Response } from "../acoustics/response";
import { calibrationFrom } from "../measurement/health/calibrator";
import type { MicrophoneMatch } from "../measurement/health/microphones";
import { thirdOctavePowers } from "../measurement/spectra/third-octave-powers";
import type { Survey } from "../survey/survey";

export interface CalibratorTone {
  /** Of one microphone, with the calibrator on it. */
  readonly samples: Float64Array;
  readonly sampleRate: number;
  /** dB re 20 µPa */
  readonly level?: number;
}

/** What was sent to the loudspeakers while they were measured. */
export interface SentSignal {
  readonly samples: Float64Array;
  readonly sampleRate: number;
}

export interface PascalScale {
  /** Pascals, rms in a third-octave band, for a transfer function of 1 at the level at which it was measured. */
  readonly pascalsPerRatio: number;
  /** What makes it doubtful, one sentence each. */
  readonly warnings: readonly string[];
}

/** More than this from the strongest third octave of the reference to the weakest, dB, is no pink noise. */
const evenWithin = 6;

/**
 * The scale that turns ratios into pascals.
 *
 * @param tone   the calibrator's recording
 * @param match  of the microphone that it sat on
 * @param sent   the reference; its third-octave bands are taken as equal in power, and are not where it is no pink noise
 * @throws RangeError when the tone is silent or too short
 */
export function pascalScale(tone: CalibratorTone, match: MicrophoneMatch, sent: SentSignal): PascalScale {
  const options = tone.level === undefined ? {} : { level: tone.level };
  const { pascalsPerUnit, faults } = calibrationFrom(tone.samples, tone.sampleRate, options);
  const powers = thirdOctavePowers(sent.samples, sent.sampleRate, { from: 40, to: 8000, name: "reference" });
  const each = powers.map(({ power }) => power);
  const uneven = 10 * Math.log10(Math.max(...each) / Math.max(Math.min(...each), Number.MIN_VALUE));
  const perThird = Math.sqrt(each.reduce((sum, power) => sum + power, 0) / each.length);
  return {
    // Corrected channels are alike, so that what one reads in pascals after its own correction they all do.
    pascalsPerRatio: (perThird * pascalsPerUnit) / 10 ** (match.correction.gain / 20),
    warnings: [
      ...faults.map((fault) => `calibrator on channel ${match.channel}: ${fault}`),
      ...(uneven > evenWithin
        ? [
            `the reference's third-octave bands differ by ${uneven.toFixed(0)} dB: levels in pascals are those of pink noise of the same mean, not of what was played`,
          ]
        : []),
    ],
  };
}

/**
 * A survey in pascals.
 *
 * @param survey  of ratios
 * @param pascalsPerRatio  from `pascalScale`
 */
export function inPascals<S extends Survey>(survey: S, pascalsPerRatio: number): S {
  const scale = (values: Float64Array, by: number) => values.map((x) => by * x);
  const scaled = (response: Response): Response => ({
    ...response,
    re: scale(response.re, pascalsPerRatio),
    im: scale(response.im, pascalsPerRatio),
    ...(response.diffuse && { diffuse: scale(response.diffuse, pascalsPerRatio ** 2) }),
  });
  return {
    ...survey,
    quantity: "pressure",
    mains: survey.mains.map(scaled),
    subs: survey.subs.map(scaled),
    ...(survey.fills && { fills: survey.fills.map(scaled) }),
    ...(survey.both && { both: survey.both.map(scaled) }),
  };
}
