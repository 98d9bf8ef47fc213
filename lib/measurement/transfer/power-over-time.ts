/** How strong a recording's explained part and its rest are in bands of frequency, from one moment to the next. */
import { fourierTransform } from "../spectra/fft";
import { timeWindow } from "../spectra/windows";
import type { Explained } from "./unexplained";

/** Powers in one band at each moment, mean squares. */
export interface PowerOverTime {
  /** Of what follows from what was sent. */
  readonly explained: Float64Array;
  /** Of the rest. */
  readonly rest: Float64Array;
  /** Of all that was heard. */
  readonly heard: Float64Array;
}

/** Seconds from one moment to the next; each looks at twice as long. */
export const MOMENT = 0.25;

/**
 * Powers at moments 0, `MOMENT`, twice that … seconds.
 *
 * @param recording  in its two parts
 * @param sampleRate  hertz
 * @param bands  lower and upper edges, hertz
 * @returns one entry per band
 */
export function powerOverTime(
  { explained, rest }: Pick<Explained, "explained" | "rest">,
  sampleRate: number,
  bands: readonly (readonly [from: number, to: number])[],
): PowerOverTime[] {
  const hop = Math.round(MOMENT * sampleRate);
  const length = 2 * hop;
  const transform = fourierTransform(2 ** Math.ceil(Math.log2(length)));
  const { size, re, im } = transform;
  const window = timeWindow("hann", length);
  const scale = 0.5 / (size * window.reduce((sum, w) => sum + w * w, 0));
  const count = Math.max(0, Math.floor((rest.length - length) / hop) + 1);
  const all = bands.map(([from, to]) => ({
    first: Math.max(1, Math.round((from * size) / sampleRate)),
    last: Math.min(size / 2 - 1, Math.round((to * size) / sampleRate)),
    explained: new Float64Array(count),
    rest: new Float64Array(count),
    heard: new Float64Array(count),
  }));
  for (let t = 0; t < count; t++) {
    for (let n = 0; n < length; n++) {
      re[n] = window[n] * explained[t * hop + n];
      im[n] = window[n] * rest[t * hop + n];
    }
    re.fill(0, length);
    im.fill(0, length);
    transform.forward();
    for (const band of all) {
      let a = 0;
      let b = 0;
      let ab = 0;
      for (let k = band.first; k <= band.last; k++) {
        const m = size - k;
        const xr = re[k] + re[m];
        const xi = im[k] - im[m];
        const yr = im[k] + im[m];
        const yi = re[m] - re[k];
        a += xr * xr + xi * xi;
        b += yr * yr + yi * yi;
        ab += xr * yr + xi * yi;
      }
      band.explained[t] = scale * a;
      band.rest[t] = scale * b;
      band.heard[t] = scale * (a + b + 2 * ab);
    }
  }
  return all;
}
