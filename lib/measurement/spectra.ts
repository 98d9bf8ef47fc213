/**
 * Averaged auto- and cross-spectra of a reference and any number of microphones, fed block by block.
 *
 * Each channel is transformed once per segment, two channels in one complex transform. Memory is a few windows per
 * channel, however long the recording.
 */
import { type FourierTransform, fourierTransform } from "./fft";
import { effectiveAverages, timeWindow, type WindowShape } from "./windows";

export interface SpectraOptions {
  /** Samples in a segment, a power of two. */
  readonly windowLength: number;
  readonly window?: WindowShape;
  /** Share of a segment that the next one repeats, 0 … less than 1. */
  readonly overlap?: number;
  /** Samples by which each microphone trails the reference, whole numbers; taken out before the window. */
  readonly delays?: readonly number[];
}

/** Sums over segments; entry k belongs to the frequency k · sampleRate / windowLength, k = 0 … windowLength / 2. */
export interface Spectra {
  readonly windowLength: number;
  readonly segments: number;
  /** Segments that count as independent. */
  readonly averages: number;
  /** Σ |X|² of the reference. */
  readonly reference: Float64Array;
  readonly microphones: readonly {
    /** Σ |Y|² */
    readonly power: Float64Array;
    /** Σ conj(X) Y */
    readonly crossRe: Float64Array;
    readonly crossIm: Float64Array;
  }[];
}

export interface SpectraAccumulator {
  /** Takes the next samples of the reference and of each microphone: blocks of one common length. */
  feed(reference: Float64Array, microphones: readonly Float64Array[]): void;
  /** Sums so far. The arrays are copies. */
  result(): Spectra;
}

/**
 * Starts an average of spectra.
 *
 * @param microphones  number of microphone channels, 1 or more
 * @param options  window and overlap (Hann and 0.75 unless said), delays to take out
 * @throws RangeError on options out of range
 * @source Welch, The use of fast Fourier transform for the estimation of power spectra, IEEE Trans. Audio
 * Electroacoust. AU-15 (1967)
 */
export function averageSpectra(microphones: number, options: SpectraOptions): SpectraAccumulator {
  const { windowLength: size, window: shape = "hann", overlap = 0.75 } = options;
  if (!(overlap >= 0 && overlap < 1)) {
    throw new RangeError(`overlap is ${overlap}, expected a share from 0 to less than 1`);
  }
  const hop = Math.max(1, Math.round(size * (1 - overlap)));
  const window = timeWindow(shape, size);
  const transform = fourierTransform(size);
  const channels = channelQueues(microphones, size, options.delays);
  const sums = Array.from({ length: microphones + 1 }, () => new Float64Array(size / 2 + 1));
  const crossRe = Array.from({ length: microphones }, () => new Float64Array(size / 2 + 1));
  const crossIm = Array.from({ length: microphones }, () => new Float64Array(size / 2 + 1));
  const referenceRe = new Float64Array(size / 2 + 1);
  const referenceIm = new Float64Array(size / 2 + 1);
  let segments = 0;

  const takeSegment = () => {
    for (let c = 0; c <= microphones; c += 2) {
      const pair = c < microphones;
      const a = channels[c];
      const b = channels[c + 1];
      const { re, im } = transform;
      for (let n = 0; n < size; n++) re[n] = window[n] * a.samples[a.start + n];
      if (pair) for (let n = 0; n < size; n++) im[n] = window[n] * b.samples[b.start + n];
      else im.fill(0);
      transform.forward();
      if (c === 0) keepReference(transform, referenceRe, referenceIm, sums[0]);
      else add(transform, false, referenceRe, referenceIm, sums[c], crossRe[c - 1], crossIm[c - 1]);
      if (pair) add(transform, true, referenceRe, referenceIm, sums[c + 1], crossRe[c], crossIm[c]);
    }
    for (const channel of channels) channel.start += hop;
    segments++;
  };

  return {
    feed(reference, signals) {
      if (signals.length !== microphones) {
        throw new RangeError(`${signals.length} microphone blocks were fed, expected ${microphones}`);
      }
      for (const signal of signals) {
        if (signal.length !== reference.length) {
          throw new RangeError(
            `a microphone block has ${signal.length} samples and the reference ${reference.length}: expected one length`,
          );
        }
      }
      // Long blocks go in by pieces, so that the queues stay short whatever the caller feeds.
      const piece = Math.max(size, 65536);
      for (let from = 0; from < reference.length; from += piece) {
        append(channels[0], reference.subarray(from, from + piece));
        signals.forEach((signal, i) => {
          append(channels[i + 1], signal.subarray(from, from + piece));
        });
        while (channels.every((c) => c.end - c.start >= size)) takeSegment();
      }
    },
    result: () => ({
      windowLength: size,
      segments,
      averages: segments === 0 ? 0 : effectiveAverages(segments, window, hop),
      reference: sums[0].slice(),
      microphones: crossRe.map((re, i) => ({
        power: sums[i + 1].slice(),
        crossRe: re.slice(),
        crossIm: crossIm[i].slice(),
      })),
    }),
  };
}

interface Queue {
  samples: Float64Array;
  start: number;
  end: number;
}

/** One queue per channel; a channel that trails skips its first samples (its start runs ahead of its end). */
function channelQueues(microphones: number, size: number, delays: readonly number[] = []): Queue[] {
  const lags = [0, ...Array.from({ length: microphones }, (_, i) => delays[i] ?? 0)];
  const earliest = Math.min(...lags);
  for (const lag of lags) {
    if (!Number.isInteger(lag)) throw new RangeError(`delay is ${lag} samples, expected a whole number`);
  }
  return lags.map((lag) => ({ samples: new Float64Array(2 * size), start: lag - earliest, end: 0 }));
}

function append(queue: Queue, block: Float64Array): void {
  if (queue.start >= queue.end) {
    const skipped = Math.min(queue.start - queue.end, block.length);
    queue.start -= queue.end + skipped;
    queue.end = 0;
    block = block.subarray(skipped);
  } else if (queue.start > 0) {
    queue.samples.copyWithin(0, queue.start, queue.end);
    queue.end -= queue.start;
    queue.start = 0;
  }
  if (queue.end + block.length > queue.samples.length) {
    const longer = new Float64Array(2 * (queue.end + block.length));
    longer.set(queue.samples.subarray(0, queue.end));
    queue.samples = longer;
  }
  queue.samples.set(block, queue.end);
  queue.end += block.length;
}

/** Spectrum of the channel in `re`: (Z[k] + conj Z[N−k]) / 2. */
function keepReference(
  { size, re, im }: FourierTransform,
  keepRe: Float64Array,
  keepIm: Float64Array,
  power: Float64Array,
): void {
  for (let k = 0; k <= size / 2; k++) {
    const m = (size - k) & (size - 1);
    const xr = 0.5 * (re[k] + re[m]);
    const xi = 0.5 * (im[k] - im[m]);
    keepRe[k] = xr;
    keepIm[k] = xi;
    power[k] += xr * xr + xi * xi;
  }
}

/** Adds the channel in `re`, or in `im`: there its spectrum is (Z[k] − conj Z[N−k]) / 2j. */
function add(
  { size, re, im }: FourierTransform,
  second: boolean,
  xr: Float64Array,
  xi: Float64Array,
  power: Float64Array,
  crossRe: Float64Array,
  crossIm: Float64Array,
): void {
  for (let k = 0; k <= size / 2; k++) {
    const m = (size - k) & (size - 1);
    const yr = second ? 0.5 * (im[k] + im[m]) : 0.5 * (re[k] + re[m]);
    const yi = second ? 0.5 * (re[m] - re[k]) : 0.5 * (im[k] - im[m]);
    power[k] += yr * yr + yi * yi;
    crossRe[k] += xr[k] * yr + xi[k] * yi;
    crossIm[k] += xr[k] * yi - xi[k] * yr;
  }
}
