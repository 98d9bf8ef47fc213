/**
 * Sums over seats for one offset of the subs, two or four seats at a time (WebAssembly SIMD): the same as plainSums in
 * lib/decision/offset/seat-costs.ts.
 *
 * This file is AssemblyScript; `npm run wasm` compiles it into lib/decision/offset/seat-costs.generated.ts. Every pointer is a byte
 * offset into the imported memory, every array holds doubles, a multiple of four.
 */

const PAIR: usize = 16;
/** Constants stand in memory as in path-sum.ts. */
const NUMBERS = memory.data<f64>([
  1,
  2,
  4503599627370496 + 1023,
  // 10 lg 2, and 20/ln 10 for ln m = 2 artanh((m − 1)/(m + 1)), Abramowitz and Stegun, 4.1.27
  3.010299956639812,
  8.685889638065037,
  1.0 / 9,
  1.0 / 7,
  1.0 / 5,
  1.0 / 3,
]);
const ONE = NUMBERS;
const TWO = NUMBERS + 8;
/** 2^52, below which lies a whole number, and the bias of exponents. */
const WHOLE_BIAS = NUMBERS + 16;
const OCTAVE = NUMBERS + 24;
const TWICE_NEPER = NUMBERS + 32;
const SERIES = NUMBERS + 40;
/**
 * Bits of the exponents' bias less the upper half of the bits of √½ (what lies above counts to the next exponent), of all
 * exponents, of the bias, and of 2^52.
 */
const BITS = memory.data<i64>([
  (1023 << 52) - (0x3fe6a09e << 32),
  0x7ff0000000000000,
  1023 << 52,
  0x4330000000000000,
]);
/** The same in single precision. */
const FLOATS = memory.data<f32>([1, 3.010299956639812, 8.685889638065037, 1.0 / 7, 1.0 / 5, 1.0 / 3, 3, 6]);
const BITS_32 = memory.data<i32>([(127 << 23) - 0x3f3504f3, 0x7f800000, 127 << 23]);

/**
 * @param seats  a multiple of four
 * @param a, b, c  the power at each seat is a + 2 g b + g² c
 * @param weights  fraction of the audience at each seat; 0 for one that only fills up
 * @param out  Σ w|d|, Σ w d², d being the power's level in dB, at least `floor` as power
 */
export function means(
  seats: i32,
  a: usize,
  b: usize,
  c: usize,
  weights: usize,
  g: f64,
  floor: f64,
  out: usize,
): void {
  let absolute = f64x2.splat(0);
  let square = f64x2.splat(0);
  const end = <usize>seats * 8;
  for (let i: usize = 0; i < end; i += 2 * PAIR) {
    const j = i + PAIR;
    const x = f64x2.abs(level(f64x2.pmax(power(a + i, b + i, c + i, g), f64x2.splat(floor))));
    const y = f64x2.abs(level(f64x2.pmax(power(a + j, b + j, c + j, g), f64x2.splat(floor))));
    const u = f64x2.mul(v128.load(weights + i), x);
    const v = f64x2.mul(v128.load(weights + j), y);
    absolute = f64x2.add(absolute, f64x2.add(u, v));
    square = f64x2.add(square, f64x2.add(f64x2.mul(u, x), f64x2.mul(v, y)));
  }
  store<f64>(out, f64x2.extract_lane(absolute, 0) + f64x2.extract_lane(absolute, 1));
  store<f64>(out + 8, f64x2.extract_lane(square, 0) + f64x2.extract_lane(square, 1));
}

/**
 * What needs no logarithm; arguments as for `means`, without weights.
 *
 * @param out  least and most power
 */
export function extremes(seats: i32, a: usize, b: usize, c: usize, g: f64, floor: f64, out: usize): void {
  let least = f64x2.splat(Infinity);
  let most = f64x2.splat(floor);
  const end = <usize>seats * 8;
  for (let i: usize = 0; i < end; i += PAIR) {
    const p = power(a + i, b + i, c + i, g);
    least = f64x2.pmin(least, p);
    most = f64x2.pmax(most, p);
  }
  store<f64>(out, max(floor, min(f64x2.extract_lane(least, 0), f64x2.extract_lane(least, 1))));
  store<f64>(out + 8, max(f64x2.extract_lane(most, 0), f64x2.extract_lane(most, 1)));
}

/**
 * All that a curve of costs holds, four seats at a time with logarithms in single precision: good to 1e-5 dB.
 *
 * @param fractions  weights in single precision; otherwise as for `means`
 * @param out  Σ w|d|, Σ w d², worst |d|, fractions within 3 and within 6 dB
 */
export function rough(
  seats: i32,
  a: usize,
  b: usize,
  c: usize,
  fractions: usize,
  g: f64,
  floor: f64,
  out: usize,
): void {
  let absolute = f32x4.splat(0);
  let square = f32x4.splat(0);
  let worst = f32x4.splat(0);
  let within3 = f32x4.splat(0);
  let within6 = f32x4.splat(0);
  const least = f64x2.splat(floor);
  const end = <usize>seats * 8;
  for (let i: usize = 0; i < end; i += 2 * PAIR) {
    const j = i + PAIR;
    // The power stays in double precision: where mains and subs cancel, little is left of much.
    const x = f32x4.demote_f64x2_zero(f64x2.pmax(power(a + i, b + i, c + i, g), least));
    const y = f32x4.demote_f64x2_zero(f64x2.pmax(power(a + j, b + j, c + j, g), least));
    const d = f32x4.abs(roughLevel(v128.shuffle<f64>(x, y, 0, 2)));
    const w = v128.load(fractions + (i >> 1));
    const u = f32x4.mul(w, d);
    absolute = f32x4.add(absolute, u);
    square = f32x4.add(square, f32x4.mul(u, d));
    worst = f32x4.pmax(worst, d);
    within3 = f32x4.add(within3, v128.and(w, f32x4.le(d, splat(FLOATS + 24))));
    within6 = f32x4.add(within6, v128.and(w, f32x4.le(d, splat(FLOATS + 28))));
  }
  store<f64>(out, sum(absolute));
  store<f64>(out + 8, sum(square));
  const two = f32x4.pmax(worst, v128.shuffle<f32>(worst, worst, 2, 3, 0, 1));
  store<f64>(out + 16, max(f32x4.extract_lane(two, 0), f32x4.extract_lane(two, 1)));
  store<f64>(out + 24, sum(within3));
  store<f64>(out + 32, sum(within6));
}

function sum(x: v128): f64 {
  const low = <f64>f32x4.extract_lane(x, 0) + <f64>f32x4.extract_lane(x, 1);
  return low + <f64>f32x4.extract_lane(x, 2) + <f64>f32x4.extract_lane(x, 3);
}

/**
 * b of each seat with the subs delayed: Σ re cos − im sin over the columns.
 *
 * @param seats  rows of `re` and `im`
 * @param columns  of a row, an even number
 * @param re, im  row after row
 * @param cos, sin  of the delay's phase, per column
 * @param b  result
 */
export function delay(
  seats: i32,
  columns: i32,
  re: usize,
  im: usize,
  cos: usize,
  sin: usize,
  b: usize,
): void {
  const end = <usize>columns * 8;
  for (let seat = 0; seat < seats; seat++) {
    let p = f64x2.splat(0);
    let q = f64x2.splat(0);
    for (let i: usize = 0; i < end; i += PAIR) {
      p = f64x2.add(p, f64x2.mul(v128.load(re + i), v128.load(cos + i)));
      q = f64x2.add(q, f64x2.mul(v128.load(im + i), v128.load(sin + i)));
    }
    const both = f64x2.sub(p, q);
    store<f64>(b, f64x2.extract_lane(both, 0) + f64x2.extract_lane(both, 1));
    re += end;
    im += end;
    b += 8;
  }
}

function power(a: usize, b: usize, c: usize, g: f64): v128 {
  const sub = f64x2.add(f64x2.mul(f64x2.splat(g), v128.load(c)), f64x2.mul(splat2(TWO), v128.load(b)));
  return f64x2.add(v128.load(a), f64x2.mul(f64x2.splat(g), sub));
}

/** Level of a power m · 2^e, m from √½ to √2; the series' end leaves 3e-9 dB. */
function level(p: v128): v128 {
  const biased = v128.and(i64x2.add(p, splat2(BITS)), splat2(BITS + 8));
  const m = i64x2.add(i64x2.sub(p, biased), splat2(BITS + 16));
  const e = f64x2.sub(v128.or(i64x2.shr_u(biased, 52), splat2(BITS + 24)), splat2(WHOLE_BIAS));
  const t = f64x2.div(f64x2.sub(m, splat2(ONE)), f64x2.add(m, splat2(ONE)));
  const z = f64x2.mul(t, t);
  let series = splat2(SERIES);
  series = f64x2.add(f64x2.mul(series, z), splat2(SERIES + 8));
  series = f64x2.add(f64x2.mul(series, z), splat2(SERIES + 16));
  series = f64x2.add(f64x2.mul(series, z), splat2(SERIES + 24));
  series = f64x2.add(f64x2.mul(series, z), splat2(ONE));
  return f64x2.add(f64x2.mul(e, splat2(OCTAVE)), f64x2.mul(f64x2.mul(t, splat2(TWICE_NEPER)), series));
}

/** The same in single precision: 2^23 to an exponent, and the series' end leaves 2e-7 dB. */
function roughLevel(p: v128): v128 {
  const biased = v128.and(i32x4.add(p, splat(BITS_32)), splat(BITS_32 + 4));
  const m = i32x4.add(i32x4.sub(p, biased), splat(BITS_32 + 8));
  const e = f32x4.convert_i32x4_s(i32x4.shr_s(i32x4.sub(biased, splat(BITS_32 + 8)), 23));
  const t = f32x4.div(f32x4.sub(m, splat(FLOATS)), f32x4.add(m, splat(FLOATS)));
  const z = f32x4.mul(t, t);
  let series = splat(FLOATS + 12);
  series = f32x4.add(f32x4.mul(series, z), splat(FLOATS + 16));
  series = f32x4.add(f32x4.mul(series, z), splat(FLOATS + 20));
  series = f32x4.add(f32x4.mul(series, z), splat(FLOATS));
  return f32x4.add(f32x4.mul(e, splat(FLOATS + 4)), f32x4.mul(f32x4.mul(t, splat(FLOATS + 8)), series));
}

/** Twice a number that stands in memory, and four times. */
function splat2(at: usize): v128 {
  return v128.load64_splat(at);
}

function splat(at: usize): v128 {
  return v128.load32_splat(at);
}
