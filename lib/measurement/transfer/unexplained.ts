/**
 * What a microphone heard beyond what follows from the signal that was sent, sample by sample: noise, and whatever changed.
 *
 * The response is taken from windows of some seconds. Such windows weigh late sound less than early, by how much the window still
 * covers itself when moved; that is known and divided out, so that reverberation is explained as well.
 */
import { averagedSpectra, type Piece } from "../spectra/averaged";
import { fourierTransform, nextPowerOfTwo } from "../spectra/fft";

/** Recordings of a reference and microphones, on one clock. */
export interface Playing {
  /** What was sent, samples. */
  readonly reference: Float64Array;
  /** What each microphone heard, samples. */
  readonly signals: readonly Float64Array[];
  /** Hertz. */
  readonly sampleRate: number;
  /** By which each microphone trails the reference, seconds. */
  readonly delays: readonly number[];
  /** Of the recordings, samples; all of them by default. */
  readonly pieces?: readonly Piece[];
}

/** A recording in two parts, which add up to it. */
export interface Explained {
  /** What follows from what was sent. */
  readonly explained: Float64Array;
  /** The rest, too small in the mean by the fraction `fitted`, since the response was found from the same recording. */
  readonly rest: Float64Array;
  /** 0…1 */
  readonly fitted: number;
  /** Seconds in which the response's level falls by 60 dB, as it does from −5 to −15 dB of its backward integral (ISO 3382-1). */
  readonly decay: number;
}

/** Longest window, seconds. */
const LONGEST = 6;
/** Part of the window that the response may last, and that it may come early. */
const LATE = 0.4;
const EARLY = 0.02;
/** Relative to the mean power of what was sent, what is less tells of no response. */
const NOTHING = 1e-6;

/**
 * Splits what each microphone heard, one after the other: the arrays are used again for the next, so that no more than one is held.
 *
 * @param playing  the recordings; the responses are found from its pieces
 * @returns one entry per microphone; none where recordings are shorter than 4 s or so
 * @source Welch (1967); division by the window's own correlation: Blackman and Tukey, The measurement of power spectra (1958), B.4; check: tests/measurement/transfer/unexplained.test.ts
 */
export function* unexplained({
  reference,
  signals,
  sampleRate,
  delays,
  pieces,
}: Playing): Generator<Explained> {
  const length = Math.min(reference.length, ...signals.map((samples) => samples.length));
  const longestPiece = pieces?.reduce((most, [from, to]) => Math.max(most, to - from), 0) ?? length;
  const size = 2 ** Math.floor(Math.log2(Math.min(LONGEST * sampleRate, length / 4, 0.9 * longestPiece)));
  if (!(size >= sampleRate)) return;
  const whole = delays.map((t) => Math.round(t * sampleRate));
  const options = { windowLength: size, overlap: 0.75, delays: whole };
  const spectra = averagedSpectra(reference, signals, options, pieces);
  const kept = keptByWindow(size);
  const early = Math.round(EARLY * size);
  const through = throughResponses(reference.subarray(0, length), early + kept.length - 1);
  const [explained, rest] = [new Float64Array(length), new Float64Array(length)];
  for (const [i, signal] of signals.entries()) {
    const { crossRe, crossIm } = spectra.microphones[i];
    const response = responseOf(spectra.reference, crossRe, crossIm, kept, early);
    through(response, whole[i] - early, explained);
    subtract(explained, signal, rest);
    yield {
      explained,
      rest,
      fitted: Math.min(0.5, response.length / length),
      decay: decayOf(response) / sampleRate,
    };
  }
}

function subtract(explained: Float64Array, signal: Float64Array, rest: Float64Array): void {
  for (let n = 0; n < rest.length; n++) rest[n] = signal[n] - explained[n];
}

/** Impulse response from so many samples before the delay on. */
function responseOf(
  power: Float64Array,
  crossRe: Float64Array,
  crossIm: Float64Array,
  kept: Float64Array,
  early: number,
): Float64Array {
  const { size, re, im, inverse } = fourierTransform(2 * (power.length - 1));
  const half = size / 2;
  const least = (NOTHING * power.reduce((a, b) => a + b, 0)) / power.length;
  for (let k = 0; k <= half; k++) {
    const m = (size - k) & (size - 1);
    const p = power[k] + least || 1;
    re[k] = re[m] = crossRe[k] / p;
    im[k] = k === 0 || k === half ? 0 : crossIm[k] / p;
    im[m] = -im[k];
  }
  inverse();
  return Float64Array.from(
    { length: early + kept.length - 1 },
    (_, n) => re[(n - early) & (size - 1)] / kept[Math.abs(n - early)],
  );
}

/** Samples of 60 dB. */
function decayOf(response: Float64Array): number {
  const left = new Float64Array(response.length + 1);
  for (let n = response.length - 1; n >= 0; n--) left[n] = left[n + 1] + response[n] ** 2;
  const at = (decibels: number) => left.findIndex((x) => x <= left[0] * 10 ** (decibels / 10));
  return 6 * (at(-15) - at(-5));
}

/** Σ w[n] w[n + lag] / Σ w² of a Hann window, by its formula. */
function keptByWindow(size: number): Float64Array {
  return Float64Array.from({ length: Math.round(LATE * size) + 1 }, (_, lag) => {
    const u = lag / size;
    return (1 - u) * (2 / 3 + Math.cos(2 * Math.PI * u) / 3) + Math.sin(2 * Math.PI * u) / (2 * Math.PI);
  });
}

/** Sends a signal through responses of one length, as many samples as there are; its own transforms are done once for all. */
function throughResponses(sent: Float64Array, length: number) {
  const transform = fourierTransform(nextPowerOfTwo(2 * length));
  const { size, re, im } = transform;
  const block = size - length + 1;
  const transformed = (samples: Float64Array) => {
    re.fill(0);
    im.fill(0);
    re.set(samples);
    transform.forward();
    return { re: re.slice(0, size / 2 + 1), im: im.slice(0, size / 2 + 1) };
  };
  const blocks = Array.from({ length: Math.ceil(sent.length / block) }, (_, b) =>
    transformed(sent.subarray(b * block, (b + 1) * block)),
  );
  return (response: Float64Array, shift: number, out: Float64Array): void => {
    out.fill(0);
    const h = transformed(response);
    // Two blocks share a transform: what comes of the second is the imaginary part.
    for (let b = 0; b < blocks.length; b += 2) {
      const first = blocks[b];
      const second = blocks[b + 1];
      for (let k = 0; k <= size / 2; k++) {
        const m = (size - k) & (size - 1);
        const ar = first.re[k] * h.re[k] - first.im[k] * h.im[k];
        const ai = first.re[k] * h.im[k] + first.im[k] * h.re[k];
        const br = second ? second.re[k] * h.re[k] - second.im[k] * h.im[k] : 0;
        const bi = second ? second.re[k] * h.im[k] + second.im[k] * h.re[k] : 0;
        re[m] = ar + bi;
        im[m] = br - ai;
        re[k] = ar - bi;
        im[k] = ai + br;
      }
      transform.inverse();
      add(out, re, b * block + shift);
      if (second) add(out, im, (b + 1) * block + shift);
    }
  };
}

function add(out: Float64Array, part: Float64Array, at: number): void {
  const to = Math.min(part.length, out.length - at);
  for (let n = Math.max(0, -at); n < to; n++) out[at + n] += part[n];
}
