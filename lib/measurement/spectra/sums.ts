/**
 * Sums of spectra in the compiled transform's memory, with the samples that wait for it.
 */
import { twiddleFactors } from "./fft";
import { workspace } from "./workspace";

export interface SpectraSums {
  /** Samples that wait, one array per channel, the reference first. */
  readonly queues: readonly Float64Array[];
  /**
   * Adds one or two segments of all channels.
   *
   * Two channels go to a transform; with two segments at a time an odd channel out shares its transform with its own
   * next segment.
   *
   * @param segments  1 or 2
   * @param start  index in a channel's queue at which a segment begins
   */
  add(segments: number, start: (channel: number, segment: number) => number): void;
  /** Copies of the sums. */
  read(): {
    readonly reference: Float64Array;
    readonly microphones: { power: Float64Array; crossRe: Float64Array; crossIm: Float64Array }[];
  };
  release(): void;
}

/**
 * Makes the sums of a reference and its microphones.
 *
 * @param microphones  number of microphones
 * @param size  points of the transform
 * @param window  time window, `size` samples
 * @param capacity  samples that may wait in each channel
 */
export function spectraSums(
  microphones: number,
  size: number,
  window: Float64Array,
  capacity: number,
): SpectraSums {
  const bins = size / 2 + 1;
  const channels = microphones + 1;
  const arrays = 3 * (channels + 1) + 4;
  const { code, doubles, release } = workspace(
    channels * capacity + arrays * bins + 7 * size,
    arrays + channels + 6,
  );
  const [re, im, workRe, workIm] = [1, 2, 3, 4].map(() => doubles(size).byteOffset);
  const shape = doubles(size);
  shape.set(window);
  const twiddles = doubles(2 * size);
  twiddles.set(twiddleFactors(size));
  const references = [0, 1].map(() => [doubles(bins).byteOffset, doubles(bins).byteOffset]);
  // The last three belong to no channel: an odd transform's second half adds there, and nobody reads it.
  const sums = Array.from({ length: channels + 1 }, () => [0, 1, 2].map(() => doubles(bins)));
  const offsets = sums.map((three) => three.map((sum) => sum.byteOffset));
  const queues = Array.from({ length: channels }, () => doubles(capacity));

  const transform = (first: number, second: number) =>
    code.windowed(first, second, shape.byteOffset, re, im, workRe, workIm, twiddles.byteOffset, size);

  return {
    queues,
    add(segments, start) {
      const at = (channel: number, segment: number) =>
        queues[channel].byteOffset + 8 * start(channel, segment);
      const rest: { channel: number; segment: number }[] = [];
      for (let segment = 0; segment < segments; segment++) {
        transform(at(0, segment), at(1, segment));
        code.addReference(re, im, size, ...references[segment], offsets[0][0], ...offsets[1]);
        for (let channel = 2; channel < channels; channel++) rest.push({ channel, segment });
      }
      for (let i = 0; i < rest.length; i += 2) {
        const a = rest[i];
        const b = rest[i + 1];
        const first = at(a.channel, a.segment);
        transform(first, b ? at(b.channel, b.segment) : first);
        const second = b
          ? [...references[b.segment], ...offsets[b.channel]]
          : [...references[0], ...offsets[channels]];
        code.addMicrophones(re, im, size, ...references[a.segment], ...offsets[a.channel], ...second);
      }
    },
    read() {
      // The separation of two channels leaves out its halves: the sums are four times too big.
      const copy = (sum: Float64Array) => {
        const quarter = sum.slice();
        for (let k = 0; k < quarter.length; k++) quarter[k] /= 4;
        return quarter;
      };
      return {
        reference: copy(sums[0][0]),
        microphones: sums.slice(1, channels).map(([power, crossRe, crossIm]) => ({
          power: copy(power),
          crossRe: copy(crossRe),
          crossIm: copy(crossIm),
        })),
      };
    },
    release,
  };
}
