/**
 * Figures of one channel, gathered block by block: level, peak, offset, and where it clips, stops or holds no numbers.
 */

/** Places where something happens. */
export interface Places {
  /** How many in all. */
  readonly count: number;
  /** Where the first one begins, seconds; 0 when there is none. */
  readonly first: number;
}

export interface ChannelHealth {
  /** Largest magnitude, full scale is 1. */
  readonly peak: number;
  /** Root mean square about the mean, full scale is 1. */
  readonly effective: number;
  /** Mean, full scale is 1. */
  readonly mean: number;
  /** Runs of samples at full scale, or at a flat top. */
  readonly clipped: Places;
  /** Runs of exact zeros between sounds. */
  readonly gaps: Places;
  /** Samples that are NaN, infinite or absurdly large. */
  readonly notNumbers: Places;
}

export interface ChannelHealthOptions {
  /** Hertz. */
  readonly sampleRate: number;
  /** Shortest run of zeros that counts as a gap, seconds. */
  readonly gap: number;
  /** Step between neighbouring sample values, full scale is 1. */
  readonly step: number;
}

/**
 * Gathers the figures of one channel.
 *
 * @param options  rate and limits
 * @returns `feed` takes the next block, `result` gives the figures so far
 */
export function channelHealth({ sampleRate, gap, step }: ChannelHealthOptions): {
  feed(samples: Float64Array): void;
  result(): ChannelHealth;
} {
  const atFullScale = fullScaleRuns();
  const high = flatTops(8 * step);
  const low = flatTops(8 * step);
  const zeros = zeroRuns(Math.max(1, Math.round(gap * sampleRate)));
  let notNumbers = 0;
  let firstNotNumber = 0;
  let seen = 0;
  let finite = 0;
  let sum = 0;
  let squares = 0;
  let peak = 0;
  return {
    feed(samples) {
      for (let i = 0; i < samples.length; i++) {
        const x = samples[i];
        const at = seen + i;
        if (!(Math.abs(x) < absurd)) {
          if (notNumbers++ === 0) firstNotNumber = at;
          continue;
        }
        finite++;
        sum += x;
        squares += x * x;
        if (Math.abs(x) > peak) peak = Math.abs(x);
        atFullScale.take(x, at);
        high.take(x, at);
        low.take(-x, at);
        zeros.take(x, at);
      }
      seen += samples.length;
    },
    result() {
      const mean = finite > 0 ? sum / finite : 0;
      const clipped = [atFullScale.places(), high.places(), low.places()].reduce((a, b) =>
        b.count > a.count ? b : a,
      );
      const inSeconds = ({ count, first }: Places): Places => ({ count, first: first / sampleRate });
      return {
        peak,
        effective: finite > 0 ? Math.sqrt(Math.max(0, squares / finite - mean * mean)) : 0,
        mean,
        clipped: inSeconds(clipped),
        gaps: inSeconds(zeros.places()),
        notNumbers: inSeconds({ count: notNumbers, first: firstNotNumber }),
      };
    },
  };
}

/** Finds places in a stream of samples; `first` of its places is a sample number. */
interface Finder {
  take(x: number, at: number): void;
  places(): Places;
}

// A float beyond 200 dB above full scale is no sound but the remains of a broken file; its square would swamp the sums.
const absurd = 1e10;
const shortestRun = 3;
// One step below full scale of 16 bit counts as full scale: not every converter reaches the last one.
const fullScale = 1 - 2 ** -14.9;

function fullScaleRuns(): Finder {
  let run = 0;
  let count = 0;
  let first = 0;
  return {
    take(x, at) {
      run = Math.abs(x) >= fullScale ? run + 1 : 0;
      if (run === shortestRun && count++ === 0) first = at - run + 1;
    },
    places: () => ({ count, first }),
  };
}

/**
 * Runs of one and the same value at the very top of the channel, reached by a jump of more than `jump`.
 * A slow sine rounded to steps rests at its top as well, but comes there by single steps.
 */
function flatTops(jump: number): Finder {
  let top = -Infinity;
  let before = 0;
  let last = 0;
  let run = 0;
  let count = 0;
  let first = 0;
  return {
    take(x, at) {
      if (x > top) {
        top = x;
        count = 0;
        run = 0;
      }
      if (x === top) {
        if (run === 0) before = last;
        run++;
        if (run === shortestRun && top > 0 && top - before > jump && count++ === 0) first = at - run + 1;
      } else run = 0;
      last = x;
    },
    // One flat spot may be chance; a stage that clips does so again and again.
    places: () => (count >= shortestRun ? { count, first } : { count: 0, first: 0 }),
  };
}

function zeroRuns(shortest: number): Finder {
  let run = 0;
  let sounded = false;
  let count = 0;
  let first = 0;
  return {
    take(x, at) {
      if (x === 0) {
        run++;
        return;
      }
      if (sounded && run >= shortest && count++ === 0) first = at - run;
      run = 0;
      sounded = true;
    },
    places: () => ({ count, first }),
  };
}
