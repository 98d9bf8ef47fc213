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
  let before = 0;
  const sums = { plain: 0, squares: 0 };
  return {
    feed(samples) {
      for (let i = 0; i < samples.length; i++) {
        const first = i;
        i = endOfOrdinary(samples, first, before, -low.top(), high.top(), sums);
        finite += i - first;
        if (i > first) before = samples[i - 1];
        if (i === samples.length) break;
        const x = samples[i];
        if (!(Math.abs(x) < absurd)) {
          if (notNumbers++ === 0) firstNotNumber = seen + i;
          zeros.broken(seen + i);
          continue;
        }
        finite++;
        sums.plain += x;
        sums.squares += x * x;
        if (x >= fullScale || x <= -fullScale) atFullScale.take(seen + i);
        if (x >= high.top()) high.take(x, before, seen + i);
        if (-x >= low.top()) low.take(-x, -before, seen + i);
        if (x === 0) zeros.take(seen + i, before);
        else if (before === 0) zeros.end(seen + i, x, sums.squares / finite);
        before = x;
      }
      seen += samples.length;
    },
    result() {
      const mean = finite > 0 ? sums.plain / finite : 0;
      const clipped = [atFullScale.positions(), high.positions(), low.positions()].reduce((a, b) =>
        b.count > a.count ? b : a,
      );
      const inSeconds = ({ count, first }: Positions): Positions => ({ count, first: first / sampleRate });
      return {
        peak: finite > 0 ? Math.max(high.top(), low.top()) : 0,
        effective: finite > 0 ? Math.sqrt(Math.max(0, sums.squares / finite - mean * mean)) : 0,
        mean,
        clipped: inSeconds(clipped),
        gaps: inSeconds(zeros.positions()),
        notNumbers: inSeconds({ count: notNumbers, first: firstNotNumber }),
      };
    },
  };
}

/**
 * The first sample from `from` on that may be one of the rare things; what is before is added to the sums. Most samples are none, and cost
 * a few comparisons in a loop of their own, whose numbers stay off the heap.
 */
function endOfOrdinary(
  samples: Float64Array,
  from: number,
  before: number,
  lowest: number,
  highest: number,
  sums: { plain: number; squares: number },
): number {
  const lower = Math.max(lowest, -fullScale);
  const upper = Math.min(highest, fullScale);
  let { plain, squares } = sums;
  let previous = before;
  let i = from;
  for (; i < samples.length; i++) {
    const x = samples[i];
    if (!(x > lower && x < upper && x * previous !== 0)) break;
    plain += x;
    squares += x * x;
    previous = x;
  }
  sums.plain = plain;
  sums.squares = squares;
  return i;
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
