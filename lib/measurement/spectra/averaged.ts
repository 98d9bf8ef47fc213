/**
 * Averaged auto- and cross-spectra of a reference and any number of microphones, fed block by block.
 *
 * Each channel is transformed once per segment, two channels in one complex transform. Memory is a few windows per
 * channel, however long the recording.
 */
import { type Complexes, delayFactor, product } from "../../numeric/complexes";
import { spectraSums } from "./sums";
import { effectiveAverages, timeWindow, type WindowShape } from "./windows";

export interface SpectraOptions {
  /** Samples in a segment, a power of two. */
  readonly windowLength: number;
  readonly window?: WindowShape;
  /** Fraction of a segment that the next one repeats, 0 … less than 1. */
  readonly overlap?: number;
  /** Whether somebody else has seen that all samples are finite numbers. */
  readonly seen?: boolean;
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

/** Σ conj(X) Y of a microphone, with a delay of so many seconds taken out of its phase. */
export function crossWithout(
  delay: number,
  { windowLength, microphones }: Spectra,
  microphone: number,
  sampleRate: number,
): Complexes {
  const { crossRe: re, crossIm: im } = microphones[microphone];
  const frequency = new Float64Array(re.length);
  for (let k = 0; k < frequency.length; k++) frequency[k] = (k * sampleRate) / windowLength;
  return product({ re, im }, delayFactor(frequency, -delay));
}

export interface SpectraAccumulator {
  /** Takes the next samples of the reference and of each microphone: blocks of one common length. */
  feed(reference: Float64Array, microphones: readonly Float64Array[]): void;
  /** What was fed so far and what comes next don't belong together: no segment holds of both. */
  cut(): void;
  /** Sums so far. The arrays are copies. */
  result(): Spectra;
  /** Gives the memory back for the next average; optional, and the last thing to call. */
  close(): void;
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
    throw new RangeError(`overlap is ${overlap}, expected a fraction from 0 to less than 1`);
  }
  const hop = Math.max(1, Math.round(size * (1 - overlap)));
  const window = timeWindow(shape, size);
  const lags = startsOf(microphones, options.delays);
  const capacity = size + hop + Math.max(...lags) + pieceLength;
  const sums = spectraSums(microphones, size, window, capacity);
  const queues = lags.map((lag, c): Queue => ({ samples: sums.queues[c], start: lag, end: 0 }));
  let segments = 0;

  const ready = (count: number) => queues.every((q) => q.end - q.start >= size + (count - 1) * hop);
  const take = (count: number) => {
    sums.add(count, (channel, segment) => queues[channel].start + segment * hop);
    for (const queue of queues) queue.start += count * hop;
    segments += count;
  };

  return {
    feed(reference, signals) {
      const channels = [reference, ...signals];
      if (!options.seen) requireBlocks(channels, microphones);
      for (let from = 0; from < reference.length; from += pieceLength) {
        queues.forEach((queue, c) => {
          append(queue, channels[c].subarray(from, from + pieceLength));
        });
        while (ready(2)) take(2);
      }
    },
    cut() {
      if (ready(1)) take(1);
      queues.forEach((queue, c) => {
        queue.start = lags[c];
        queue.end = 0;
      });
    },
    result() {
      if (ready(1)) take(1);
      const averages = segments === 0 ? 0 : effectiveAverages(segments, window, hop);
      return { windowLength: size, segments, averages, ...sums.read() };
    },
    close: () => sums.release(),
  };
}

/** Samples of a recording, from the first to before the last. */
export type Piece = readonly [from: number, to: number];

/**
 * Spectra of whole recordings, as far as all of them last, or of some pieces.
 *
 * @param reference  samples
 * @param signals  samples of each microphone
 * @param options  as for `averageSpectra`
 * @param pieces  of the recordings, none of which meets another in a segment
 */
export function averagedSpectra(
  reference: Float64Array,
  signals: readonly Float64Array[],
  options: SpectraOptions,
  pieces?: readonly Piece[],
): Spectra {
  const average = averageSpectra(signals.length, options);
  feedPieces(average, reference, signals, pieces);
  const spectra = average.result();
  average.close();
  return spectra;
}

/** Feeds recordings, as far as all of them last, or some pieces of them. */
export function feedPieces(
  average: Pick<SpectraAccumulator, "feed" | "cut">,
  reference: Float64Array,
  signals: readonly Float64Array[],
  pieces?: readonly Piece[],
): void {
  const length = Math.min(reference.length, ...signals.map((samples) => samples.length));
  for (const [from, to] of pieces ?? [[0, length]]) {
    average.cut();
    const last = Math.min(to, length);
    average.feed(
      reference.subarray(from, last),
      signals.map((samples) => samples.subarray(from, last)),
    );
  }
}

function requireBlocks([reference, ...signals]: readonly Float64Array[], microphones: number): void {
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
  if (![reference, ...signals].every(finite)) throw new RangeError(whereNotFinite([reference, ...signals]));
}

/** A sample that is no number spoils every bin of its segment: tell which one it was. */
function whereNotFinite(channels: readonly Float64Array[]): string {
  for (const [c, samples] of channels.entries()) {
    const at = samples.findIndex((x) => !Number.isFinite(x));
    const name = c === 0 ? "the reference" : `microphone channel ${c}`;
    if (at >= 0) return `${name}, sample ${at} of this block is ${samples[at]}, expected a finite number`;
  }
  return "samples are too large for a sum of their squares";
}

/** True when no sample is NaN or infinite; four sums side by side, since each addition waits for the one before. */
function finite(samples: Float64Array): boolean {
  const whole = samples.length & ~3;
  let [a, b, c, d] = [0, 0, 0, 0];
  for (let i = 0; i < whole; i += 4) {
    a += samples[i];
    b += samples[i + 1];
    c += samples[i + 2];
    d += samples[i + 3];
  }
  for (let i = whole; i < samples.length; i++) a += samples[i];
  return Number.isFinite(a + b + c + d);
}

/** Blocks go through the queues by so many samples at a time, however long they are. */
const pieceLength = 16384;

interface Queue {
  readonly samples: Float64Array;
  /** First sample of the next segment; beyond `end` while a channel that trails skips its first samples. */
  start: number;
  end: number;
}

/** Samples that each channel skips at the beginning: the reference and those that trail it less skip the less. */
function startsOf(microphones: number, delays: readonly number[] = []): number[] {
  const lags = [0, ...Array.from({ length: microphones }, (_, i) => delays[i] ?? 0)];
  for (const lag of lags) {
    if (!Number.isInteger(lag)) throw new RangeError(`delay is ${lag} samples, expected a whole number`);
  }
  const earliest = Math.min(...lags);
  return lags.map((lag) => lag - earliest);
}

function append(queue: Queue, block: Float64Array): void {
  const kept = Math.min(queue.start, queue.end);
  if (kept > 0 && queue.end + block.length > queue.samples.length) {
    queue.samples.copyWithin(0, kept, queue.end);
    queue.start -= kept;
    queue.end -= kept;
  }
  queue.samples.set(block, queue.end);
  queue.end += block.length;
}
