/**
 * Absolute level from the recording of a sound calibrator.
 */
import { decibelToAmplitude, referencePressure } from "../../acoustics/level/decibel";
import { requireWithin } from "../../guard/arguments";

export interface CalibratorReading {
  /** Multiply samples by this to get pascals: pascals for a sample of 1. */
  readonly pascalsPerUnit: number;
  /** Frequency found, hertz. */
  readonly frequency: number;
  /** Standard deviation of the tone's level from one quarter of a second to the next, dB. */
  readonly wander: number;
  /** Level of the tone above everything else in the recording, dB. */
  readonly toneToRest: number;
  /** What makes it doubtful, in words; empty for a good recording. */
  readonly faults: readonly string[];
}

/**
 * Scale of a recording, from the tone of a sound calibrator on its microphone.
 *
 * @param recording  samples, one second or more of steady tone
 * @param sampleRate  hertz, 1000 to 400 000
 * @param options  level, dB re 20 µPa (94 by default), and frequency, hertz (1000 by default), of the calibrator
 * @returns pascals for a sample of 1, what was found of the tone, and what makes it doubtful
 * @throws RangeError when the recording is shorter than a second or silent, or the frequency not 1 Hz to half the sample rate
 * @source 94 dB is 1 Pa (1.0024 Pa) by ISO 1683; limits on frequency ±2 % and steadiness 0.2 dB: common practice, no source; check: tests/measurement/health/microphones.test.ts
 * @example
 * const tone = Float64Array.from({ length: 48000 }, (_, n) => 0.1 * Math.sin((2 * Math.PI * n) / 48));
 * measure.calibrator(tone, 48000).pascalsPerUnit // 14.18
 */
export function calibrationFrom(
  recording: Float64Array,
  sampleRate: number,
  {
    level = 94,
    frequency = 1000,
  }: {
    /** Level of the calibrator, dB re 20 µPa. Default 94. */
    readonly level?: number;
    /** Frequency of the calibrator, hertz. Default 1000. */
    readonly frequency?: number;
  } = {},
): CalibratorReading {
  requireWithin("sample rate", sampleRate, 1000, 400_000);
  requireWithin("frequency of the calibrator", frequency, 1, sampleRate / 2);
  if (recording.length < sampleRate) {
    throw new RangeError(
      `calibrator recording lasts ${(recording.length / sampleRate).toFixed(2)} s, expected 1 s or more`,
    );
  }
  const length = Math.round(sampleRate / 4);
  // Its phase, looked at every twenty periods, tells up to 2.5 % off without doubt; every quarter of a second 2 Hz, and finer.
  const short = Math.min(length, Math.round((20 * sampleRate) / frequency));
  const rough = frequency + turnPerSecond(tones(recording, short, frequency, sampleRate), short / sampleRate);
  const found = rough + turnPerSecond(tones(recording, length, rough, sampleRate), length / sampleRate);
  const fine = tones(recording, length, found, sampleRate);
  const amplitudes = fine.map(({ re, im }) => Math.hypot(re, im));
  const mean = amplitudes.reduce((a, b) => a + b, 0) / amplitudes.length;
  const total = recording.reduce((sum, x) => sum + x * x, 0) / recording.length;
  if (!(mean > 0)) throw new RangeError("calibrator recording is silent");
  const levels = amplitudes.map((a) => 20 * Math.log10(a / mean));
  const wander = Math.sqrt(levels.reduce((sum, x) => sum + x * x, 0) / levels.length);
  const rest = Math.max(total - (mean * mean) / 2, 1e-12 * total);
  const toneToRest = 10 * Math.log10((mean * mean) / 2 / rest);
  return {
    pascalsPerUnit: (referencePressure * decibelToAmplitude(level) * Math.SQRT2) / mean,
    frequency: found,
    wander,
    toneToRest,
    faults: faultsOf(found, frequency, wander, toneToRest, recording),
  };
}

/** Complex amplitude of a tone in consecutive pieces under a Hann window, its phase counted from the start. */
function tones(
  samples: Float64Array,
  length: number,
  frequency: number,
  sampleRate: number,
): { re: number; im: number }[] {
  const pieces = [];
  for (let from = 0; from + length <= samples.length; from += length) {
    let re = 0;
    let im = 0;
    for (let n = 0; n < length; n++) {
      const weighted = (1 - Math.cos((2 * Math.PI * n) / length)) * samples[from + n];
      const phase = (2 * Math.PI * frequency * (from + n)) / sampleRate;
      re += weighted * Math.cos(phase);
      im -= weighted * Math.sin(phase);
    }
    pieces.push({ re: (2 * re) / length, im: (2 * im) / length });
  }
  return pieces;
}

/** How far the tone lies from the assumed frequency, hertz: the turn of its phase from piece to piece. */
function turnPerSecond(pieces: readonly { re: number; im: number }[], seconds: number): number {
  let re = 0;
  let im = 0;
  for (let i = 1; i < pieces.length; i++) {
    const [a, b] = [pieces[i - 1], pieces[i]];
    re += a.re * b.re + a.im * b.im;
    im += a.re * b.im - a.im * b.re;
  }
  return Math.atan2(im, re) / (2 * Math.PI * seconds);
}

function faultsOf(
  found: number,
  wanted: number,
  wander: number,
  toneToRest: number,
  recording: Float64Array,
): string[] {
  const faults: string[] = [];
  if (toneToRest < 20) {
    faults.push(
      `the tone stands only ${toneToRest.toFixed(0)} dB above the rest: is the calibrator seated, and on at ${wanted} Hz?`,
    );
  }
  if (Math.abs(found / wanted - 1) > 0.02)
    faults.push(`the tone is at ${found.toFixed(0)} Hz, expected ${wanted} Hz`);
  if (wander > 0.2)
    faults.push(`the level wanders by ${wander.toFixed(1)} dB: leave out its start and end, hold it still`);
  if (recording.some((x) => Math.abs(x) >= 0.999))
    faults.push("the recording reaches full scale: lower the gain and record anew");
  return faults;
}
