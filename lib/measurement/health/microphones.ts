/**
 * Do the microphones agree? All of them side by side, hearing one signal.
 *
 * Capsules that stand some centimetres apart hear the same sound only at low frequencies. Above, the field of a room differs from
 * one to the next, however well they match; so level, polarity and phase are compared below the frequency at which the spacing
 * is an eighth of a wavelength, by sums over third octaves, in which a room's many dips weigh little.
 */
import { type Band, thirdOctaves } from "../../acoustics/bands/bands";
import { median } from "../../numeric/statistics";
import { estimateDelay } from "../delay/delay";
import { averagedSpectra, type Spectra } from "../spectra/averaged";

export interface MatchOptions {
  /** How far apart the capsules stand at the most, metres. Default 0.15. */
  readonly spacing?: number;
  /** Levels and phases are compared in this band, hertz. Default: 63 to where the spacing is an eighth of a wavelength, 286 for 0.15 m. */
  readonly band?: { readonly from: number; readonly to: number };
  /** Largest level difference that passes, dB. Default 1. */
  readonly level?: number;
  /** Largest phase difference that passes besides what the spacing makes, degrees. Default 10. */
  readonly phase?: number;
  /** Largest delay difference that passes, seconds. Default: the time that sound takes for the spacing and 0.05 ms. */
  readonly delay?: number;
  /** Least coherence of a third octave that takes part, and of a channel that passes, 0…1. Default 0.5: as much signal as noise. */
  readonly coherence?: number;
}

export interface MicrophoneMatch {
  /** Which channel: from 0 in `measure.matchMicrophones`; the recording's number, from 1, in `measure.show`. */
  readonly channel: number;
  /** Level relative to the median of all channels, dB. */
  readonly level: number;
  /** How sure it is: its standard error from the scatter over third octaves, dB. */
  readonly levelError: number;
  /** Polarity relative to the majority: −1 is inverted. */
  readonly polarity: 1 | -1;
  /** Largest phase difference from the channel it was compared with in a third octave, after polarity and delay, degrees. */
  readonly phase: number;
  /** Delay relative to the median of all channels, seconds, positive is later. */
  readonly delay: number;
  /** Coherence with the channel it was compared with over the band, 0…1. */
  readonly coherence: number;
  /** Whether it stays within all limits. */
  readonly pass: boolean;
  /** What fails, in words; empty when it passes. */
  readonly faults: readonly string[];
  /**
   * What would make it match: dB to add, polarity to multiply by, seconds to delay by. A level no larger than its error is hardly
   * corrected, and nothing is where the channel hears something else.
   */
  readonly correction: { readonly gain: number; readonly polarity: 1 | -1; readonly delay: number };
}

/**
 * Compares microphones that stand side by side and hear one signal: level, polarity, delay and phase of each.
 *
 * All channels are compared with one of them, the first that agrees with most. The median channel is the norm for level and delay,
 * the majority for polarity, so that a faulty first channel is found as well; of two channels nothing tells which is at fault.
 *
 * @param channels  samples, one array per microphone, two or more, same clock
 * @param sampleRate  hertz
 * @param options  spacing, metres (0.15 by default); band, hertz; limits (1 dB, 10°, coherence 0.5 by default)
 * @returns one entry per channel, in order: dB, degrees, seconds
 * @throws RangeError when there are fewer than two channels, or one is silent or shorter than a third of a second or so
 * @source pressures a distance d apart in a diffuse field correlate as sin kd / kd: Cook et al., J. Acoust. Soc. Am. 27 (1955), 1072;
 *   an eighth of a wavelength leaves 0.9 of it; the limits: common practice, no source; check:
 *   tests/measurement/health/microphones.test.ts
 * @example
 * const sent = Float64Array.from({ length: 16000 }, () => Math.random() - 0.5);
 * const inverted = sent.map((v) => -v); // a cable wired the wrong way
 * measure.matchMicrophones([sent, sent, inverted], 16000).map((m) => m.polarity) // [1, 1, -1]
 */
export function matchMicrophones(
  channels: readonly Float64Array[],
  sampleRate: number,
  options: MatchOptions = {},
): MicrophoneMatch[] {
  if (channels.length < 2) throw new RangeError("one channel can't be matched: expected two or more");
  const { spacing = 0.15 } = options;
  const nearest = SPEED / (8 * spacing);
  const band = options.band ?? { from: 63, to: Math.min(nearest, 0.4 * sampleRate) };
  const limits = { level: 1, phase: 10, delay: spacing / SPEED + 5e-5, coherence: 0.5, ...options };
  const bands = bandsWithin(band);
  const raw = comparedWithBest(channels, sampleRate, bands, limits.coherence, spacing);
  const level = median(raw.map((r) => r.level));
  const delay = median(raw.map((r) => r.delay));
  const majority = raw.reduce((sum, r) => sum + r.polarity, 0) >= 0 ? 1 : -1;
  return raw.map((r, channel) => {
    const polarity = (r.polarity * majority) as 1 | -1;
    const match = { ...r, channel, level: r.level - level, polarity, delay: r.delay - delay };
    const faults = faultsOf(match, limits, channels.length === 2);
    const heardSame = match.coherence >= limits.coherence;
    // A level within its error says little of the microphone and much of where it stood (James and Stein's shrinkage).
    const believed = Math.max(0, 1 - 3 * (match.levelError / match.level) ** 2) || 0;
    return {
      ...match,
      pass: faults.length === 0,
      faults,
      correction: {
        gain: heardSame ? -match.level * believed : 0,
        polarity: heardSame ? polarity : (1 as const),
        delay: heardSame ? -match.delay : 0,
      },
    };
  });
}

/** Speed of sound in a room, metres per second. */
const SPEED = 343;

function bandsWithin({ from, to }: { readonly from: number; readonly to: number }): readonly Band[] {
  const thirds = thirdOctaves(from, to).filter((band) => band.upper <= 1.1 * to);
  if (thirds.length > 0) return thirds;
  const exact = Math.sqrt(from * to);
  return [{ exact, nominal: exact, lower: from, upper: to }];
}

/** A channel beside another, before the norm of all is known. */
type Compared = Pick<MicrophoneMatch, "level" | "levelError" | "polarity" | "phase" | "delay" | "coherence">;

/** All channels compared with the first that most others agree with; with the first of all where none has a majority. */
function comparedWithBest(
  channels: readonly Float64Array[],
  sampleRate: number,
  bands: readonly Band[],
  limit: number,
  spacing: number,
): Compared[] {
  let best: Compared[] | undefined;
  let most = -1;
  for (let base = 0; base < Math.min(3, channels.length); base++) {
    const found = comparedWith(base, channels, sampleRate, bands, limit, spacing);
    const agreeing = found.filter((c) => c.coherence >= limit).length;
    if (agreeing > most) {
      most = agreeing;
      best = found;
    }
    if (agreeing > channels.length / 2) break;
  }
  return best!;
}

function comparedWith(
  base: number,
  channels: readonly Float64Array[],
  sampleRate: number,
  bands: readonly Band[],
  limit: number,
  spacing: number,
): Compared[] {
  const search = {
    from: -0.02,
    to: 0.02,
    band: { from: 50, to: Math.min(0.45 * sampleRate, 10 * bands[bands.length - 1].upper) },
  };
  const delays = channels.map((channel, i) =>
    i === base ? 0 : estimateDelay(channels[base], channel, sampleRate, search).chosen.time,
  );
  const windowLength = 2 ** Math.round(Math.log2(sampleRate / 6));
  const spectra = averagedSpectra(channels[base], channels, { windowLength, overlap: 0.5 });
  if (spectra.segments === 0) {
    const length = Math.min(...channels.map((samples) => samples.length));
    throw new RangeError(`the recording has ${length} samples, expected ${windowLength} or more`);
  }
  return channels.map((_, i) => compared(spectra, i, sampleRate, bands, limit, delays[i], spacing));
}

/** Level, polarity, phase and coherence by third octaves, from those that are coherent (from all where none is). */
function compared(
  { reference, microphones, windowLength }: Spectra,
  channel: number,
  sampleRate: number,
  bands: readonly Band[],
  limit: number,
  delay: number,
  spacing: number,
): Compared {
  const { power, crossRe, crossIm } = microphones[channel];
  const step = sampleRate / windowLength;
  const sums = bands.map(({ lower, upper, exact }) => {
    const sum = { exact, xx: 0, yy: 0, re: 0, im: 0 };
    for (let k = Math.max(1, Math.ceil(lower / step)); k * step <= upper && k < power.length; k++) {
      const turn = 2 * Math.PI * k * step * delay;
      sum.xx += reference[k];
      sum.yy += power[k];
      sum.re += crossRe[k] * Math.cos(turn) - crossIm[k] * Math.sin(turn);
      sum.im += crossIm[k] * Math.cos(turn) + crossRe[k] * Math.sin(turn);
    }
    return sum;
  });
  const coherenceOf = (s: (typeof sums)[number]) => (s.re ** 2 + s.im ** 2) / Math.max(s.xx * s.yy, 1e-300);
  const heard = sums.filter((s) => s.xx > 0 && s.yy > 0);
  if (heard.length === 0) throw new RangeError(`channel ${channel + 1} is silent where it is compared`);
  const coherent = heard.filter((s) => coherenceOf(s) >= limit);
  const used = coherent.length > 0 ? coherent : heard;
  const levels = used.map((s) => 10 * Math.log10(s.yy / s.xx));
  const level = levels.reduce((a, b) => a + b, 0) / levels.length;
  const scatter = levels.reduce((sum, l) => sum + (l - level) ** 2, 0);
  const sign = used.reduce((sum, s) => sum + s.re / Math.sqrt(s.xx * s.yy), 0) >= 0 ? 1 : -1;
  // What stands closer to the source is ahead by no more than the spacing: that much phase is no fault.
  const phases = used.map((s) => {
    const phase = (Math.atan2(sign * s.im, sign * s.re) * 180) / Math.PI;
    const free = (360 * s.exact * spacing) / SPEED;
    return Math.sign(phase) * Math.max(0, Math.abs(phase) - free);
  });
  const loudest = Math.max(...heard.map((s) => s.xx));
  const loud = heard.filter((s) => s.xx >= loudest / 100);
  return {
    level,
    levelError: levels.length > 1 ? Math.sqrt(scatter / (levels.length - 1) / levels.length) : 0,
    polarity: sign,
    phase: phases.reduce((worst, p) => (Math.abs(p) > Math.abs(worst) ? p : worst), 0),
    delay,
    coherence: loud.reduce((sum, s) => sum + coherenceOf(s), 0) / loud.length,
  };
}

function faultsOf(
  m: Compared,
  limits: { level: number; phase: number; delay: number; coherence: number },
  ofTwo: boolean,
): string[] {
  // Of two the median lies half way: what fails is their difference.
  const [level, delay] = ofTwo ? [2 * m.level, 2 * m.delay] : [m.level, m.delay];
  if (m.coherence < limits.coherence) {
    return [`it hears something else than the others (coherence ${m.coherence.toFixed(2)}), or noise`];
  }
  const faults: string[] = [];
  if (m.polarity < 0) faults.push("polarity is inverted");
  if (Math.abs(level) > Math.max(limits.level, 2 * m.levelError)) {
    faults.push(`level is ${Math.abs(level).toFixed(1)} dB ${level < 0 ? "low" : "high"}`);
  }
  if (Math.abs(delay) > limits.delay) {
    faults.push(`${Math.abs(delay * 1000).toFixed(2)} ms ${delay < 0 ? "early" : "late"}`);
  }
  if (Math.abs(m.phase) > limits.phase)
    faults.push(`phase differs by up to ${Math.abs(m.phase).toFixed(0)}°`);
  return faults;
}
