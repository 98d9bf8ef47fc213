/**
 * Fourier transform and sums of spectra, two doubles at a time (WebAssembly SIMD).
 *
 * This file is AssemblyScript; `npm run wasm` compiles it into lib/measurement/spectra/spectra.generated.ts. Every
 * pointer is a byte offset into the imported memory, every array holds doubles. Nothing is allocated here.
 *
 * The transform is a radix-4 self-sorting one (Stockham), decimation in frequency, on separate real and imaginary
 * arrays: see Van Loan, Computational Frameworks for the Fast Fourier Transform (1992), section 1.7.
 */

const DOUBLE: usize = 8;
const PAIR: usize = 16;

/**
 * Transforms `re`, `im` in place; the last pass may run in place, so the result always ends where the input was.
 *
 * @param re, im  n doubles each, input and result
 * @param workRe, workIm  n doubles each, overwritten
 * @param twiddles  factors, one stage after the other: six arrays (cos and sin of 1, 2 and 3 times the angle)
 * @param n  points, a power of two, 8 or more
 */
export function forward(re: usize, im: usize, workRe: usize, workIm: usize, twiddles: usize, n: i32): void {
  firstPass(re, im, workRe, workIm, twiddles, n);
  laterPasses(re, im, workRe, workIm, twiddles, n);
}

/** The other way: with real and imaginary part exchanged the sign of the exponent is, and n divides the result. */
export function inverse(re: usize, im: usize, workRe: usize, workIm: usize, twiddles: usize, n: i32): void {
  forward(im, re, workIm, workRe, twiddles, n);
  const part = f64x2.splat(1.0 / <f64>n);
  const end = <usize>n * DOUBLE;
  for (let k: usize = 0; k < end; k += PAIR) {
    v128.store(re + k, f64x2.mul(part, v128.load(re + k)));
    v128.store(im + k, f64x2.mul(part, v128.load(im + k)));
  }
}

/**
 * Spectrum of two channels under a window: one becomes the real part, the other the imaginary part.
 *
 * @param a, b  n doubles each, left as they are
 * @param window  n doubles
 * @param re, im  n doubles each, result
 */
export function windowed(
  a: usize,
  b: usize,
  window: usize,
  re: usize,
  im: usize,
  workRe: usize,
  workIm: usize,
  twiddles: usize,
  n: i32,
): void {
  firstWindowedPass(a, b, window, workRe, workIm, twiddles, n);
  laterPasses(re, im, workRe, workIm, twiddles, n);
}

/** From the first pass's result in `workRe`, `workIm` on; the last pass may run in place, so that it ends in `re`, `im`. */
function laterPasses(re: usize, im: usize, workRe: usize, workIm: usize, twiddles: usize, n: i32): void {
  let xr = workRe;
  let xi = workIm;
  let yr = re;
  let yi = im;
  let length = n >> 2;
  let stride = 4;
  let t = twiddles + <usize>length * 6 * DOUBLE;
  while (length > 4) {
    pass(xr, xi, yr, yi, t, length, stride);
    t += <usize>(length >> 2) * 6 * DOUBLE;
    let swap = xr;
    xr = yr;
    yr = swap;
    swap = xi;
    xi = yi;
    yi = swap;
    length >>= 2;
    stride <<= 2;
  }
  if (length === 4) lastFour(xr, xi, re, im, stride);
  else lastTwo(xr, xi, re, im, stride);
}

/** First pass: neighbours in p side by side, results interleaved on the way out. */
function firstPass(xr: usize, xi: usize, yr: usize, yi: usize, t: usize, n: i32): void {
  const quarter = <usize>(n >> 2) * DOUBLE;
  for (let p: usize = 0; p < quarter; p += PAIR) {
    firstButterfly(
      v128.load(xr + p),
      v128.load(xi + p),
      v128.load(xr + p + quarter),
      v128.load(xi + p + quarter),
      v128.load(xr + p + 2 * quarter),
      v128.load(xi + p + 2 * quarter),
      v128.load(xr + p + 3 * quarter),
      v128.load(xi + p + 3 * quarter),
      t + p,
      quarter,
      yr + 4 * p,
      yi + 4 * p,
    );
  }
}

/** The same with both channels under a window. */
function firstWindowedPass(
  xr: usize,
  xi: usize,
  window: usize,
  yr: usize,
  yi: usize,
  t: usize,
  n: i32,
): void {
  const quarter = <usize>(n >> 2) * DOUBLE;
  for (let p: usize = 0; p < quarter; p += PAIR) {
    const wa = v128.load(window + p);
    const wb = v128.load(window + p + quarter);
    const wc = v128.load(window + p + 2 * quarter);
    const wd = v128.load(window + p + 3 * quarter);
    firstButterfly(
      f64x2.mul(wa, v128.load(xr + p)),
      f64x2.mul(wa, v128.load(xi + p)),
      f64x2.mul(wb, v128.load(xr + p + quarter)),
      f64x2.mul(wb, v128.load(xi + p + quarter)),
      f64x2.mul(wc, v128.load(xr + p + 2 * quarter)),
      f64x2.mul(wc, v128.load(xi + p + 2 * quarter)),
      f64x2.mul(wd, v128.load(xr + p + 3 * quarter)),
      f64x2.mul(wd, v128.load(xi + p + 3 * quarter)),
      t + p,
      quarter,
      yr + 4 * p,
      yi + 4 * p,
    );
  }
}

function firstButterfly(
  ar: v128,
  ai: v128,
  br: v128,
  bi: v128,
  cr: v128,
  ci: v128,
  dr: v128,
  di: v128,
  t: usize,
  quarter: usize,
  outR: usize,
  outI: usize,
): void {
  const sumR = f64x2.add(ar, cr);
  const sumI = f64x2.add(ai, ci);
  const difR = f64x2.sub(ar, cr);
  const difI = f64x2.sub(ai, ci);
  const evenR = f64x2.add(br, dr);
  const evenI = f64x2.add(bi, di);
  const oddR = f64x2.sub(bi, di);
  const oddI = f64x2.sub(dr, br);
  const r0 = f64x2.add(sumR, evenR);
  const i0 = f64x2.add(sumI, evenI);
  const ur = f64x2.add(difR, oddR);
  const ui = f64x2.add(difI, oddI);
  const vr = f64x2.sub(sumR, evenR);
  const vi = f64x2.sub(sumI, evenI);
  const wr = f64x2.sub(difR, oddR);
  const wi = f64x2.sub(difI, oddI);
  const c1 = v128.load(t);
  const s1 = v128.load(t + quarter);
  const c2 = v128.load(t + 2 * quarter);
  const s2 = v128.load(t + 3 * quarter);
  const c3 = v128.load(t + 4 * quarter);
  const s3 = v128.load(t + 5 * quarter);
  const r1 = f64x2.sub(f64x2.mul(ur, c1), f64x2.mul(ui, s1));
  const i1 = f64x2.add(f64x2.mul(ur, s1), f64x2.mul(ui, c1));
  const r2 = f64x2.sub(f64x2.mul(vr, c2), f64x2.mul(vi, s2));
  const i2 = f64x2.add(f64x2.mul(vr, s2), f64x2.mul(vi, c2));
  const r3 = f64x2.sub(f64x2.mul(wr, c3), f64x2.mul(wi, s3));
  const i3 = f64x2.add(f64x2.mul(wr, s3), f64x2.mul(wi, c3));
  v128.store(outR, v128.shuffle<f64>(r0, r1, 0, 2));
  v128.store(outR, v128.shuffle<f64>(r2, r3, 0, 2), 16);
  v128.store(outR, v128.shuffle<f64>(r0, r1, 1, 3), 32);
  v128.store(outR, v128.shuffle<f64>(r2, r3, 1, 3), 48);
  v128.store(outI, v128.shuffle<f64>(i0, i1, 0, 2));
  v128.store(outI, v128.shuffle<f64>(i2, i3, 0, 2), 16);
  v128.store(outI, v128.shuffle<f64>(i0, i1, 1, 3), 32);
  v128.store(outI, v128.shuffle<f64>(i2, i3, 1, 3), 48);
}

/** A middle pass: `stride` butterflies in a row share their twiddle factors. */
function pass(xr: usize, xi: usize, yr: usize, yi: usize, t: usize, n: i32, stride: i32): void {
  const quarter = <usize>(n >> 2) * DOUBLE;
  const row = <usize>stride * DOUBLE;
  const leap = row * <usize>(n >> 2);
  for (let p: usize = 0; p < quarter; p += DOUBLE) {
    const c1 = v128.load_splat<f64>(t + p);
    const s1 = v128.load_splat<f64>(t + p + quarter);
    const c2 = v128.load_splat<f64>(t + p + 2 * quarter);
    const s2 = v128.load_splat<f64>(t + p + 3 * quarter);
    const c3 = v128.load_splat<f64>(t + p + 4 * quarter);
    const s3 = v128.load_splat<f64>(t + p + 5 * quarter);
    let from: usize = (p >> 3) * row;
    let to: usize = 4 * from;
    const end = from + row;
    while (from < end) {
      const inR = xr + from;
      const inI = xi + from;
      const ar = v128.load(inR);
      const ai = v128.load(inI);
      const br = v128.load(inR + leap);
      const bi = v128.load(inI + leap);
      const cr = v128.load(inR + 2 * leap);
      const ci = v128.load(inI + 2 * leap);
      const dr = v128.load(inR + 3 * leap);
      const di = v128.load(inI + 3 * leap);
      const sumR = f64x2.add(ar, cr);
      const sumI = f64x2.add(ai, ci);
      const difR = f64x2.sub(ar, cr);
      const difI = f64x2.sub(ai, ci);
      const evenR = f64x2.add(br, dr);
      const evenI = f64x2.add(bi, di);
      const oddR = f64x2.sub(bi, di);
      const oddI = f64x2.sub(dr, br);
      const outR = yr + to;
      const outI = yi + to;
      v128.store(outR, f64x2.add(sumR, evenR));
      v128.store(outI, f64x2.add(sumI, evenI));
      const ur = f64x2.add(difR, oddR);
      const ui = f64x2.add(difI, oddI);
      v128.store(outR + row, f64x2.sub(f64x2.mul(ur, c1), f64x2.mul(ui, s1)));
      v128.store(outI + row, f64x2.add(f64x2.mul(ur, s1), f64x2.mul(ui, c1)));
      const vr = f64x2.sub(sumR, evenR);
      const vi = f64x2.sub(sumI, evenI);
      v128.store(outR + 2 * row, f64x2.sub(f64x2.mul(vr, c2), f64x2.mul(vi, s2)));
      v128.store(outI + 2 * row, f64x2.add(f64x2.mul(vr, s2), f64x2.mul(vi, c2)));
      const wr = f64x2.sub(difR, oddR);
      const wi = f64x2.sub(difI, oddI);
      v128.store(outR + 3 * row, f64x2.sub(f64x2.mul(wr, c3), f64x2.mul(wi, s3)));
      v128.store(outI + 3 * row, f64x2.add(f64x2.mul(wr, s3), f64x2.mul(wi, c3)));
      from += PAIR;
      to += PAIR;
    }
  }
}

/** Last pass of four points: no twiddle factors, and it reads and writes the same places, so it may run in place. */
function lastFour(xr: usize, xi: usize, yr: usize, yi: usize, stride: i32): void {
  const row = <usize>stride * DOUBLE;
  for (let k: usize = 0; k < row; k += PAIR) {
    const ar = v128.load(xr + k);
    const ai = v128.load(xi + k);
    const br = v128.load(xr + k + row);
    const bi = v128.load(xi + k + row);
    const cr = v128.load(xr + k + 2 * row);
    const ci = v128.load(xi + k + 2 * row);
    const dr = v128.load(xr + k + 3 * row);
    const di = v128.load(xi + k + 3 * row);
    const sumR = f64x2.add(ar, cr);
    const sumI = f64x2.add(ai, ci);
    const difR = f64x2.sub(ar, cr);
    const difI = f64x2.sub(ai, ci);
    const evenR = f64x2.add(br, dr);
    const evenI = f64x2.add(bi, di);
    const oddR = f64x2.sub(bi, di);
    const oddI = f64x2.sub(dr, br);
    v128.store(yr + k, f64x2.add(sumR, evenR));
    v128.store(yi + k, f64x2.add(sumI, evenI));
    v128.store(yr + k + row, f64x2.add(difR, oddR));
    v128.store(yi + k + row, f64x2.add(difI, oddI));
    v128.store(yr + k + 2 * row, f64x2.sub(sumR, evenR));
    v128.store(yi + k + 2 * row, f64x2.sub(sumI, evenI));
    v128.store(yr + k + 3 * row, f64x2.sub(difR, oddR));
    v128.store(yi + k + 3 * row, f64x2.sub(difI, oddI));
  }
}

/** Last pass of two points, for lengths that are no power of four; in place as well. */
function lastTwo(xr: usize, xi: usize, yr: usize, yi: usize, stride: i32): void {
  const row = <usize>stride * DOUBLE;
  for (let k: usize = 0; k < row; k += PAIR) {
    const ar = v128.load(xr + k);
    const ai = v128.load(xi + k);
    const br = v128.load(xr + k + row);
    const bi = v128.load(xi + k + row);
    v128.store(yr + k, f64x2.add(ar, br));
    v128.store(yi + k, f64x2.add(ai, bi));
    v128.store(yr + k + row, f64x2.sub(ar, br));
    v128.store(yi + k + row, f64x2.sub(ai, bi));
  }
}

/**
 * Separates the two real channels of one transform: the spectrum of the one in `re` stays as reference in `referenceRe`,
 * `referenceIm` (twice the spectrum), and the sums grow: `power` by 4 |X|², then for the one in `im` `power2` by 4 |Y|² and
 * `crossRe`, `crossIm` by 4 conj(X) Y. All of them hold n / 2 + 1 doubles.
 *
 * Two bins at a time: each array needs space for one double beyond its end.
 */
export function addReference(
  re: usize,
  im: usize,
  n: i32,
  referenceRe: usize,
  referenceIm: usize,
  power: usize,
  power2: usize,
  crossRe: usize,
  crossIm: usize,
): void {
  closeCircle(re, im, n);
  for (let k = 0; k <= n >> 1; k += 2) {
    const at = <usize>k * DOUBLE;
    const back = <usize>(n - k - 1) * DOUBLE;
    const zr = v128.load(re + at);
    const zi = v128.load(im + at);
    const mr = swapped(re + back);
    const mi = swapped(im + back);
    const xr = f64x2.add(zr, mr);
    const xi = f64x2.sub(zi, mi);
    v128.store(referenceRe + at, xr);
    v128.store(referenceIm + at, xi);
    grow(power + at, xr, xr, xi, xi);
    addChannel(xr, xi, f64x2.add(zi, mi), f64x2.sub(mr, zr), at, power2, crossRe, crossIm);
  }
}

/**
 * As `addReference`, for two microphone channels of one transform, each with a reference from before: those of `re` first,
 * then those of `im`. Both may add to the same sums, as two segments of one channel do.
 */
export function addMicrophones(
  re: usize,
  im: usize,
  n: i32,
  referenceRe: usize,
  referenceIm: usize,
  power: usize,
  crossRe: usize,
  crossIm: usize,
  referenceRe2: usize,
  referenceIm2: usize,
  power2: usize,
  crossRe2: usize,
  crossIm2: usize,
): void {
  closeCircle(re, im, n);
  for (let k = 0; k <= n >> 1; k += 2) {
    const at = <usize>k * DOUBLE;
    const back = <usize>(n - k - 1) * DOUBLE;
    const zr = v128.load(re + at);
    const zi = v128.load(im + at);
    const mr = swapped(re + back);
    const mi = swapped(im + back);
    const xr = v128.load(referenceRe + at);
    const xi = v128.load(referenceIm + at);
    addChannel(xr, xi, f64x2.add(zr, mr), f64x2.sub(zi, mi), at, power, crossRe, crossIm);
    const xr2 = v128.load(referenceRe2 + at);
    const xi2 = v128.load(referenceIm2 + at);
    addChannel(xr2, xi2, f64x2.add(zi, mi), f64x2.sub(mr, zr), at, power2, crossRe2, crossIm2);
  }
}

/**
 * Every so-manieth sample of what a symmetrical filter makes: out[n] = Σ taps[i] samples[n factor + i], two taps at a time, for four
 * results at once.
 *
 * @param samples  (outputs − 1) factor + count doubles
 * @param taps  count doubles, an even number
 * @param out  outputs doubles, a multiple of four
 */
export function filtered(
  samples: usize,
  taps: usize,
  count: i32,
  factor: i32,
  out: usize,
  outputs: i32,
): void {
  const step = <usize>factor * DOUBLE;
  const end = <usize>count * DOUBLE;
  const last = out + <usize>outputs * DOUBLE;
  let from = samples;
  while (out < last) {
    let a = f64x2.splat(0);
    let b = a;
    let c = a;
    let d = a;
    for (let i: usize = 0; i < end; i += PAIR) {
      const tap = v128.load(taps + i);
      const at = from + i;
      a = f64x2.add(a, f64x2.mul(tap, v128.load(at)));
      b = f64x2.add(b, f64x2.mul(tap, v128.load(at + step)));
      c = f64x2.add(c, f64x2.mul(tap, v128.load(at + 2 * step)));
      d = f64x2.add(d, f64x2.mul(tap, v128.load(at + 3 * step)));
    }
    v128.store(out, f64x2.add(v128.shuffle<f64>(a, b, 0, 2), v128.shuffle<f64>(a, b, 1, 3)));
    v128.store(out, f64x2.add(v128.shuffle<f64>(c, d, 0, 2), v128.shuffle<f64>(c, d, 1, 3)), PAIR);
    out += 2 * PAIR;
    from += 4 * step;
  }
}

/** Bin n is bin 0 again. */
function closeCircle(re: usize, im: usize, n: i32): void {
  const end = <usize>n * DOUBLE;
  store<f64>(re + end, load<f64>(re));
  store<f64>(im + end, load<f64>(im));
}

function swapped(at: usize): v128 {
  const pair = v128.load(at);
  return v128.shuffle<f64>(pair, pair, 1, 0);
}

/** Adds |Y|² and conj(X) Y. */
function addChannel(
  xr: v128,
  xi: v128,
  yr: v128,
  yi: v128,
  at: usize,
  power: usize,
  crossRe: usize,
  crossIm: usize,
): void {
  grow(power + at, yr, yr, yi, yi);
  grow(crossRe + at, xr, yr, xi, yi);
  const sum = crossIm + at;
  v128.store(sum, f64x2.add(v128.load(sum), f64x2.sub(f64x2.mul(xr, yi), f64x2.mul(xi, yr))));
}

/** sum += a b + c d */
function grow(sum: usize, a: v128, b: v128, c: v128, d: v128): void {
  v128.store(sum, f64x2.add(v128.load(sum), f64x2.add(f64x2.mul(a, b), f64x2.mul(c, d))));
}
