/**
 * Levels of two bands while a microphone is carried, relative to what was sent.
 *
 * Its delay changes with every step, so nothing of it keeps its phase; powers of short pieces do without.
 */
import { estimateDelay } from "./delay/delay";
import { quietBefore } from "./health/quiet-before";
import { decimate } from "./signals/decimate";
import { fourierTransform } from "./spectra/fft";
import { timeWindow } from "./spectra/windows";

/** Lower and upper edge, hertz. */
type Span = readonly [from: number, to: number];

export interface LevelsOverTime {
  /** Middles of the pieces, seconds from the start. */
  readonly time: Float64Array;
  /** For each band, dB re what was sent; NaN where nothing was sent, or noise hides it. */
  readonly levels: readonly Float64Array[];
  /** For each band, standard error of each level, dB. */
  readonly errors: readonly Float64Array[];
}

/** Samples a second that hold bands up to the third octave of 2 kHz. */
const RATE = 6500;
/** Seconds that are averaged, by a window of raised cosine: half as much counts. */
const AVERAGED = 3;
/** Seconds from the start that tell the delay, to a tenth of a piece or so. */
const STANDING = 10;
/** Times the band must stand above the noise. */
const LEAST_OVER_NOISE = 2;

/**
 * @param sent   samples
 * @param heard  samples of the microphone, by the same clock
 * @param bands  edges, hertz
 * @returns a level each 0.16 s or so
 */
export function levelsOverTime(
  sent: Float64Array,
  heard: Float64Array,
  sampleRate: number,
  bands: readonly Span[],
): LevelsOverTime {
  const first = Math.floor(STANDING * sampleRate);
  const { chosen } = estimateDelay(sent.subarray(0, first), heard.subarray(0, first), sampleRate, {
    choose: "first",
    range: 12,
  });
  const factor = Math.max(1, Math.floor(sampleRate / RATE));
  const [x, y] = [decimate(sent, factor), decimate(heard, factor)];
  const rate = sampleRate / factor;
  const lag = chosen.reliable ? Math.round(chosen.time * rate) : 0;
  const size = 2 ** Math.round(Math.log2(0.3 * rate));
  const hop = size >> 1;
  const pieces = powersOf(x, y, { lag, size, hop, rate, bands });
  const quiet = Math.floor((quietBefore(x, rate) - size) / hop);
  const half = Math.round((AVERAGED * rate) / hop / 2);
  const time = Float64Array.from(pieces, (_, i) => (i * hop + size / 2) / rate);
  const each = bands.map(([from, to], b) => {
    const noise = quiet > 0 ? mean(pieces.slice(0, quiet).map((p) => p.heard[b])) : 0;
    const loudest = Math.max(...pieces.map((p) => p.sent[b]));
    const independent = (to - from) * (AVERAGED / 3);
    const found = pieces.map((_, i) => {
      let [s, h, w] = [0, 0, 0];
      for (let k = -half; k <= half; k++) {
        const piece = pieces[i + k];
        if (!piece) continue;
        const weight = 1 + Math.cos((Math.PI * k) / (half + 1));
        s += weight * piece.sent[b];
        h += weight * piece.heard[b];
        w += weight;
      }
      if (!(s > 0.1 * loudest * w) || h < LEAST_OVER_NOISE * noise * w) return { level: NaN, error: NaN };
      const own = h - noise * w;
      return {
        level: 10 * Math.log10(own / s),
        error: ((10 / Math.LN10) * (h / own)) / Math.sqrt(independent),
      };
    });
    return {
      levels: Float64Array.from(found, ({ level }) => level),
      errors: Float64Array.from(found, ({ error }) => error),
    };
  });
  return { time, levels: each.map(({ levels }) => levels), errors: each.map(({ errors }) => errors) };
}

interface Piece {
  /** Power of each band. */
  readonly sent: readonly number[];
  readonly heard: readonly number[];
}

interface Cut {
  /** Samples by which the microphone trails. */
  readonly lag: number;
  readonly size: number;
  readonly hop: number;
  readonly rate: number;
  readonly bands: readonly Span[];
}

/** Both in one transform: one is its real, the other its imaginary part. */
function powersOf(x: Float64Array, y: Float64Array, { lag, size, hop, rate, bands }: Cut): Piece[] {
  const transform = fourierTransform(size);
  const { re, im } = transform;
  const window = timeWindow("hann", size);
  const lines = bands.map(([from, to]) => [Math.ceil((from * size) / rate), Math.floor((to * size) / rate)]);
  const count = Math.max(0, Math.floor((Math.min(x.length, y.length - lag) - size) / hop) + 1);
  return Array.from({ length: count }, (_, i) => {
    for (let n = 0; n < size; n++) {
      re[n] = window[n] * x[i * hop + n];
      im[n] = window[n] * (y[i * hop + n + lag] ?? 0);
    }
    transform.forward();
    const powers = lines.map(([first, last]) => {
      let [sent, heard] = [0, 0];
      for (let k = first; k <= last; k++) {
        const m = size - k;
        sent += (re[k] + re[m]) ** 2 + (im[k] - im[m]) ** 2;
        heard += (im[k] + im[m]) ** 2 + (re[m] - re[k]) ** 2;
      }
      return { sent, heard };
    });
    return { sent: powers.map(({ sent }) => sent), heard: powers.map(({ heard }) => heard) };
  });
}

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
