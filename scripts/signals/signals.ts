/** The test signals: samples with their level relative to full scale, as files hold them and as recordings show them again. */
import { exponentialSweep } from "../../lib/measurement/signals/sweep";
import { crestFactor, highestOf, pinkNoise, rms } from "./pink-noise";

export const signalKinds = ["noise", "sweep", "polarity"] as const;
export type SignalKind = (typeof signalKinds)[number];

export interface SignalOptions {
  /** Hertz. */
  readonly sampleRate: number;
  /** Length of what sounds, seconds. Default: noise 30, sweep 10, pulses 10. */
  readonly seconds?: number;
  /** Limits of noise and sweep, hertz. Default 20 to 20 000, at most 0.45 of the sample rate. */
  readonly from?: number;
  readonly to?: number;
  /** Level: RMS value of noise and sweep, peak of the pulses, dB re full scale. Default −20. */
  readonly level?: number;
}

export interface Signal {
  readonly kind: SignalKind;
  readonly sampleRate: number;
  readonly samples: Float64Array;
  /** dB re full scale; RMS value of what sounds. */
  readonly rms_db: number;
  readonly peak_db: number;
  readonly crest_db: number;
  /** What it is, in words. */
  readonly says: string;
}

/** Seconds of quiet before each signal, by which noise is told, and after it, in which a room dies away. */
export const BEFORE = 1.5;
export const AFTER = 1.5;
/** Seconds in which noise fades in and out. */
const FADE = 0.5;

/**
 * A test signal, with quiet before and after it.
 *
 * @throws RangeError when its level would go beyond full scale, or its limits make no sense
 */
export function testSignal(kind: SignalKind, options: SignalOptions): Signal {
  const { sampleRate, level = -20 } = options;
  const shape = shapes[kind](options);
  const gain = 10 ** (level / 20) / (kind === "polarity" ? 1 : rms(shape.sounds));
  const peak = gain * highestOf(shape.sounds);
  if (peak > 1)
    throw new RangeError(
      `the ${kind} at ${level} dB would peak ${(20 * Math.log10(peak)).toFixed(1)} dB above full scale: choose a lower level`,
    );
  const before = Math.round(BEFORE * sampleRate);
  const samples = new Float64Array(before + shape.sounds.length + Math.round(AFTER * sampleRate));
  shape.sounds.forEach((x, n) => {
    samples[before + n] = gain * x;
  });
  const sounding = samples.subarray(before, before + shape.sounds.length);
  return {
    kind,
    sampleRate,
    samples,
    rms_db: 20 * Math.log10(rms(sounding)),
    peak_db: 20 * Math.log10(peak),
    crest_db: crestFactor(sounding),
    says: shape.says,
  };
}

interface Shape {
  readonly sounds: Float64Array;
  readonly says: string;
}

const shapes: { readonly [kind in SignalKind]: (options: SignalOptions) => Shape } = {
  noise({ sampleRate, seconds = 30, from = 20, to = 20_000 }) {
    const period = pinkNoise({ sampleRate, from, to });
    const ramp = Math.round(Math.min(FADE, seconds / 4) * sampleRate);
    const length = Math.round(seconds * sampleRate);
    const sounds = Float64Array.from({ length }, (_, n) => {
      const edge = Math.min(1, Math.min(n, length - 1 - n) / ramp);
      return period[n % period.length] * Math.sin((Math.PI / 2) * edge) ** 2;
    });
    return {
      sounds,
      says: `pink noise, ${from} to ${Math.min(to, 0.45 * sampleRate)} Hz, that repeats every ${(period.length / sampleRate).toFixed(2)} s`,
    };
  },
  sweep({ sampleRate, seconds = 10, from = 20, to = 20_000 }) {
    const top = Math.min(to, 0.45 * sampleRate);
    return {
      sounds: exponentialSweep({ from, to: top, seconds, sampleRate, fade: 0.05 }),
      says: `a sweep from ${from} to ${top} Hz in ${seconds} s, by equal ratios in equal times, with fades of 0.05 s`,
    };
  },
  polarity({ sampleRate, seconds = 10 }) {
    const sounds = new Float64Array(Math.round(seconds * sampleRate));
    const width = Math.round(PULSE * sampleRate);
    for (let start = 0; start + width < sounds.length; start += sampleRate)
      for (let n = 0; n < width; n++) sounds[start + n] = Math.sin((Math.PI * n) / width) ** 2;
    return { sounds, says: `one positive pulse of ${1000 * PULSE} ms a second` };
  },
};

/** Seconds. */
const PULSE = 0.001;
