/**
 * Averaged auto- and cross-spectra of a reference and any number of microphones, fed block by block.
 *
 * Each channel is transformed once per segment, two channels in one complex transform. Memory is a few windows per
 * channel, however long the recording.
 */
import { turningFactors } from "./fft";
import { effectiveAverages, timeWindow, type WindowShape } from "./windows";
import { workspace } from "./workspace";

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
    throw new RangeError(`overlap is ${overlap}, expected a share from 0 to less than 1`);
  }
  const hop = Math.max(1, Math.round(size * (1 - overlap)));
  const window = timeWindow(shape, size);
  const channels = channelQueues(microphones, size, options.delays);
  const sums = sumsInWorkspace(microphones, size, window);
  let segments = 0;

  const ready = (count: number) => channels.every((c) => c.end - c.start >= size + (count - 1) * hop);
  const take = (count: number) => {
    sums.add(count, (channel, segment) => {
      const { samples, start } = channels[channel];
      return samples.subarray(start + segment * hop, start + segment * hop + size);
    });
    for (const channel of channels) channel.start += count * hop;
    segments += count;
  };

  return {
    feed(reference, signals) {
      requireBlocks(reference, signals, microphones);
      if (![reference, ...signals].every(finite))
        throw new RangeError(whereNotFinite([reference, ...signals]));
      // Long blocks go in by pieces, so that the queues stay short whatever the caller feeds.
      const piece = Math.max(size, 65536);
      for (let from = 0; from < reference.length; from += piece) {
        append(channels[0], reference.subarray(from, from + piece));
        signals.forEach((signal, i) => {
          append(channels[i + 1], signal.subarray(from, from + piece));
        });
        while (ready(2)) take(2);
      }
    },
    result() {
      if (ready(1)) take(1);
      const averages = segments === 0 ? 0 : effectiveAverages(segments, window, hop);
      return { windowLength: size, segments, averages, ...sums.read() };
    },
    close: () => sums.release(),
  };
}

function requireBlocks(reference: Float64Array, signals: readonly Float64Array[], microphones: number): void {
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

/**
 * The sums, and the step that adds one or two segments of all channels: two channels to a transform, and with two
 * segments at a time an odd channel out shares its transform with its own next segment. The kernel's sums are four
 * times too big.
 */
function sumsInWorkspace(microphones: number, size: number, window: Float64Array) {
  const bins = size / 2 + 1;
  const channels = microphones + 2;
  const space = workspace((3 * channels + 4) * (bins + 2) + 7 * size + 64);
  const re = space.take(size);
  const im = space.take(size);
  const workRe = space.take(size);
  const workIm = space.take(size);
  const turns = space.take(2 * size);
  const shape = space.take(size);
  turns.values.set(turningFactors(size));
  shape.values.set(window);
  const keep = [0, 1].map(() => [space.take(bins).at, space.take(bins).at]);
  // A channel left over is paired with a silent one, whose sums nobody reads.
  const sums = Array.from({ length: channels }, () => [0, 1, 2].map(() => space.take(bins)));
  const places = sums.map((three) => three.map((sum) => sum.at));
  const { kernel } = space;

  const transform = (first: Float64Array, second: Float64Array | undefined) => {
    re.values.set(first);
    kernel.multiply(re.at, shape.at, size);
    if (second) {
      im.values.set(second);
      kernel.multiply(im.at, shape.at, size);
    } else im.values.fill(0);
    kernel.forward(re.at, im.at, workRe.at, workIm.at, turns.at, size);
  };

  return {
    add(segments: number, samples: (channel: number, segment: number) => Float64Array) {
      const rest: { channel: number; segment: number }[] = [];
      for (let segment = 0; segment < segments; segment++) {
        transform(samples(0, segment), samples(1, segment));
        kernel.addReference(re.at, im.at, size, ...keep[segment], places[0][0], ...places[1]);
        for (let channel = 2; channel <= microphones; channel++) rest.push({ channel, segment });
      }
      for (let i = 0; i < rest.length; i += 2) {
        const a = rest[i];
        const b = rest[i + 1] ?? { channel: microphones + 1, segment: 0 };
        transform(samples(a.channel, a.segment), rest[i + 1] && samples(b.channel, b.segment));
        kernel.addMicrophones(
          re.at,
          im.at,
          size,
          ...keep[a.segment],
          ...places[a.channel],
          ...keep[b.segment],
          ...places[b.channel],
        );
      }
    },
    read() {
      const copy = (sum: { values: Float64Array }) => sum.values.map((x) => x / 4);
      return {
        reference: copy(sums[0][0]),
        microphones: sums.slice(1, microphones + 1).map(([power, crossRe, crossIm]) => ({
          power: copy(power),
          crossRe: copy(crossRe),
          crossIm: copy(crossIm),
        })),
      };
    },
    release: () => space.release(),
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
