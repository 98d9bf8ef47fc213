/**
 * Sums of spectra in the compiled transform's memory, with the samples that wait for it.
 */
import { turningFactors } from "./fft";
import { workspace } from "./workspace";

export interface SpectraSums {
  /** Room for samples, one array per channel, the reference first. */
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
 * Room for the sums of a reference and its microphones.
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
  const space = workspace(channels * capacity + arrays * bins + 7 * size, arrays + channels + 6);
  const [re, im, workRe, workIm, shape] = [1, 2, 3, 4, 5].map(() => space.take(size));
  const turns = space.take(2 * size);
  turns.values.set(turningFactors(size));
  shape.values.set(window);
  const keep = [0, 1].map(() => [space.take(bins).at, space.take(bins).at]);
  // The last three belong to no channel: an odd transform's second half adds there, and nobody reads it.
  const sums = Array.from({ length: channels + 1 }, () => [0, 1, 2].map(() => space.take(bins)));
  const places = sums.map((three) => three.map((sum) => sum.at));
  const queues = Array.from({ length: channels }, () => space.take(capacity));
  const { kernel } = space;

  const transform = (first: number, second: number) =>
    kernel.windowed(first, second, shape.at, re.at, im.at, workRe.at, workIm.at, turns.at, size);

  return {
    queues: queues.map((q) => q.values),
    add(segments, start) {
      const at = (channel: number, segment: number) => queues[channel].at + 8 * start(channel, segment);
      const rest: { channel: number; segment: number }[] = [];
      for (let segment = 0; segment < segments; segment++) {
        transform(at(0, segment), at(1, segment));
        kernel.addReference(re.at, im.at, size, ...keep[segment], places[0][0], ...places[1]);
        for (let channel = 2; channel < channels; channel++) rest.push({ channel, segment });
      }
      for (let i = 0; i < rest.length; i += 2) {
        const a = rest[i];
        const b = rest[i + 1];
        const first = at(a.channel, a.segment);
        transform(first, b ? at(b.channel, b.segment) : first);
        const second = b ? [...keep[b.segment], ...places[b.channel]] : [...keep[0], ...places[channels]];
        kernel.addMicrophones(re.at, im.at, size, ...keep[a.segment], ...places[a.channel], ...second);
      }
    },
    read() {
      // The kernel leaves out the halves of each separation: its sums are four times too big.
      const copy = (sum: { values: Float64Array }) => sum.values.map((x) => x / 4);
      return {
        reference: copy(sums[0][0]),
        microphones: sums.slice(1, channels).map(([power, crossRe, crossIm]) => ({
          power: copy(power),
          crossRe: copy(crossRe),
          crossIm: copy(crossIm),
        })),
      };
    },
    release: () => space.release(),
  };
}
