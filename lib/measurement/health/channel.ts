/**
 * Figures of one channel, gathered block by block: level, peak, offset, and where it clips, stops or holds no numbers.
 */

/** Where in a recording something happens. */
export interface Positions {
  /** How many in all. */
  readonly count: number;
  /** Where the first one begins, seconds; 0 when there is none. */
  readonly first: number;
}

export interface ChannelHealth {
  /** Largest magnitude, full scale is 1. */
  readonly peak: number;
  /** RMS value about the mean, full scale is 1. */
  readonly effective: number;
  /** Mean, full scale is 1. */
  readonly mean: number;
  /** Runs of samples at full scale, or at a flat top. */
  readonly clipped: Positions;
  /** Runs of exact zeros that cut into a sound and out of one; a pause that it fades into, or begins anew after, is none. */
  readonly gaps: Positions;
  /** Samples that are NaN, infinite or absurdly large. */
  readonly notNumbers: Positions;
}

export interface ChannelHealthOptions {
  /** Hertz. */
  readonly sampleRate: number;
  /** Shortest run of zeros that counts as a gap, seconds. */
  readonly gap: number;
  /** Longest one that does, seconds. Default: however long. */
  readonly pause?: number;
  /** Step between neighbouring sample values, full scale is 1. */
  readonly step: number;
}

/**
 * Gathers the figures of one channel.
 *
 * @param options  rate and limits
 * @returns `feed` takes the next block, `result` gives the figures so far
 */
export function channelHealth({
  sampleRate,
  gap,
  pause = Number.POSITIVE_INFINITY,
  step,
}: ChannelHealthOptions): {
  feed(samples: Float64Array): void;
  result(): ChannelHealth;
} {
  const atFullScale = runs(shortestRun);
  const high = flatTops(8 * step);
  const low = flatTops(8 * step);
  const zeros = gaps(Math.max(1, Math.round(gap * sampleRate)), pause * sampleRate);
  let notNumbers = 0;
  let firstNotNumber = 0;
  let seen = 0;
  let finite = 0;
  let sum = 0;
  let squares = 0;
  let before = 0;
  return {
    feed(samples) {
      // Most samples are none of the rare things and cost a few comparisons, all in variables of this call: a number that
      // outlives it would be put away on the heap at every sample.
      let [highest, lowest, total, energy, previous] = [high.top(), -low.top(), sum, squares, before];
      let bad = 0;
      for (let i = 0; i < samples.length; i++) {
        const x = samples[i];
        if (!(Math.abs(x) < absurd)) {
          if (notNumbers === 0 && bad === 0) firstNotNumber = seen + i;
          bad++;
          zeros.broken(seen + i);
          continue;
        }
        total += x;
        energy += x * x;
        if (x >= fullScale || x <= -fullScale) atFullScale.take(seen + i);
        if (x >= highest) {
          high.take(x, previous, seen + i);
          highest = x;
        }
        if (x <= lowest) {
          low.take(-x, -previous, seen + i);
          lowest = x;
        }
        if (x === 0) zeros.take(seen + i, previous);
        else if (previous === 0) zeros.end(seen + i, x, energy / (finite + i + 1 - bad));
        previous = x;
      }
      before = previous;
      notNumbers += bad;
      finite += samples.length - bad;
      sum = total;
      squares = energy;
      seen += samples.length;
    },
    result() {
      const mean = finite > 0 ? sum / finite : 0;
      const clipped = [atFullScale.positions(), high.positions(), low.positions()].reduce((a, b) =>
        b.count > a.count ? b : a,
      );
      const inSeconds = ({ count, first }: Positions): Positions => ({ count, first: first / sampleRate });
      return {
        peak: finite > 0 ? Math.max(high.top(), low.top()) : 0,
        effective: finite > 0 ? Math.sqrt(Math.max(0, squares / finite - mean * mean)) : 0,
        mean,
        clipped: inSeconds(clipped),
        gaps: inSeconds(zeros.positions()),
        notNumbers: inSeconds({ count: notNumbers, first: firstNotNumber }),
      };
    },
  };
}

// A float beyond 200 dB above full scale is no sound but the remains of a broken file; its square would swamp the sums.
const absurd = 1e10;
const shortestRun = 3;
// One step below full scale of 16 bit counts as full scale: not every converter reaches the last one.
const fullScale = 1 - 2 ** -14.9;

/** Finds runs of samples in a row, told by their numbers; `first` of its places is a sample number. */
function runs(shortest: number): { take(at: number): void; positions(): Positions } {
  let run = 0;
  let last = -2;
  let count = 0;
  let first = 0;
  return {
    take(at) {
      run = at === last + 1 ? run + 1 : 1;
      last = at;
      if (run === shortest && count++ === 0) first = at - run + 1;
    },
    positions: () => ({ count, first }),
  };
}

/**
 * Runs of one and the same value at the very top of the channel, reached by a jump of more than `jump`.
 * A slow sine rounded to steps rests at its top as well, but comes there by single steps.
 */
function flatTops(jump: number): {
  top(): number;
  take(x: number, before: number, at: number): void;
  positions(): Positions;
} {
  let top = -Infinity;
  let risen = false;
  let run = 0;
  let last = -2;
  let count = 0;
  let first = 0;
  return {
    top: () => top,
    take(x, before, at) {
      if (x > top) {
        top = x;
        count = 0;
        last = -2;
      }
      if (at !== last + 1) {
        run = 0;
        risen = top - before > jump;
      }
      run++;
      last = at;
      if (run === shortestRun && top > 0 && risen && count++ === 0) first = at - run + 1;
    },
    // One flat spot may be chance; a stage that clips does so again and again.
    positions: () => (count >= shortestRun ? { count, first } : { count: 0, first: 0 }),
  };
}

/**
 * Runs of zeros that begin and end within a sound: at either edge the sample is no smaller than sound has them by chance
 * once in fifty (a fiftieth of its RMS value). Music fades into its pauses.
 */
function gaps(
  shortest: number,
  longest: number,
): {
  take(at: number, before: number): void;
  broken(at: number): void;
  end(at: number, after: number, meanSquare: number): void;
  positions(): Positions;
} {
  let start = -1;
  let edge = 0;
  let brokenAt = -2;
  let count = 0;
  let first = 0;
  const end = (at: number, after: number, meanSquare: number) => {
    const least = Math.sqrt(meanSquare) / 50;
    const cut = Math.abs(edge) > least && Math.abs(after) > least;
    if (start > 0 && cut && at - start >= shortest && at - start <= longest && count++ === 0) first = start;
    start = -1;
  };
  return {
    take(at, before) {
      if (start >= 0) return;
      start = at;
      edge = brokenAt === at - 1 ? Number.POSITIVE_INFINITY : before;
    },
    // What is no number is no fade.
    broken(at) {
      end(at, Number.POSITIVE_INFINITY, 0);
      brokenAt = at;
    },
    end,
    positions: () => ({ count, first }),
  };
}
