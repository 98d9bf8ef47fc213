/**
 * Sums over seats for one offset of the subs, two or four seats at a time (WebAssembly SIMD): the same as plainSums in
 * lib/decision/offset/seat-costs.ts.
 *
 * This file is AssemblyScript; `npm run wasm` compiles it into lib/decision/offset/seat-costs.generated.ts. Every pointer is a byte
 * offset into the imported memory, every array holds doubles, a multiple of four.
 */

const PAIR: usize = 16;
/** Bits of 2^52: below it lies a whole number. */
const WHOLE: i64 = 0x4330000000000000;
const EXPONENT: i64 = 0x7ff0000000000000;
const BIAS: i64 = 1023 << 52;
/** Upper half of the bits of √½; what lies above counts to the next exponent. */
const SQRT_HALF: i64 = 0x3fe6a09e << 32;
const BIAS_32: i32 = 127 << 23;
const SQRT_HALF_32: i32 = 0x3f3504f3;
/** 10 lg 2, and 20/ln 10 for ln m = 2 artanh((m − 1)/(m + 1)), Abramowitz and Stegun, 4.1.27. */
const OCTAVE: f64 = 3.010299956639812;
const TWICE_NEPER: f64 = 8.685889638065037;

/**
 * @param seats  a multiple of four
 * @param a, b, c  the power at each seat is a + 2 g b + g² c
 * @param weights  share of each seat; 0 for one that only fills up
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
  // Two pairs a turn share the constants, which V8 makes anew in each.
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
 * @param out  from the third place on: least and most power
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
  store<f64>(out + 16, max(floor, min(f64x2.extract_lane(least, 0), f64x2.extract_lane(least, 1))));
  store<f64>(out + 24, max(f64x2.extract_lane(most, 0), f64x2.extract_lane(most, 1)));
}

/**
 * All that a curve of costs holds, four seats at a time with logarithms in single precision: good to 1e-5 dB.
 *
 * @param shares  weights in single precision; otherwise as for `means`
 * @param out  from the fifth place on: Σ w|d|, Σ w d², worst |d|, shares within 3 and within 6 dB
 */
export function rough(
  seats: i32,
  a: usize,
  b: usize,
  c: usize,
  shares: usize,
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
    const w = v128.load(shares + (i >> 1));
    const u = f32x4.mul(w, d);
    absolute = f32x4.add(absolute, u);
    square = f32x4.add(square, f32x4.mul(u, d));
    worst = f32x4.pmax(worst, d);
    within3 = f32x4.add(within3, v128.and(w, f32x4.le(d, f32x4.splat(3))));
    within6 = f32x4.add(within6, v128.and(w, f32x4.le(d, f32x4.splat(6))));
  }
  store<f64>(out + 32, sum(absolute));
  store<f64>(out + 40, sum(square));
  const two = f32x4.pmax(worst, v128.shuffle<f32>(worst, worst, 2, 3, 0, 1));
  store<f64>(out + 48, max(f32x4.extract_lane(two, 0), f32x4.extract_lane(two, 1)));
  store<f64>(out + 56, sum(within3));
  store<f64>(out + 64, sum(within6));
}

function sum(x: v128): f64 {
  const low = <f64>f32x4.extract_lane(x, 0) + <f64>f32x4.extract_lane(x, 1);
  return low + <f64>f32x4.extract_lane(x, 2) + <f64>f32x4.extract_lane(x, 3);
}

/**
 * b of each seat for a delay: Σ re cos − im sin over the columns.
 *
 * @param seats  rows of `re` and `im`
 * @param columns  of a row, an even number
 * @param re, im  row after row
 * @param cos, sin  of the delay's phase, per column
 * @param b  result
 */
export function turn(seats: i32, columns: i32, re: usize, im: usize, cos: usize, sin: usize, b: usize): void {
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
  const sub = f64x2.add(f64x2.mul(f64x2.splat(g), v128.load(c)), f64x2.mul(f64x2.splat(2), v128.load(b)));
  return f64x2.add(v128.load(a), f64x2.mul(f64x2.splat(g), sub));
}

/** Level of a power m · 2^e, m from √½ to √2; the series' end leaves 3e-9 dB. */
function level(p: v128): v128 {
  const one = f64x2.splat(1);
  const biased = v128.and(i64x2.add(p, i64x2.splat(BIAS - SQRT_HALF)), i64x2.splat(EXPONENT));
  const m = i64x2.add(i64x2.sub(p, biased), i64x2.splat(BIAS));
  const e = f64x2.sub(
    v128.or(i64x2.shr_u(biased, 52), i64x2.splat(WHOLE)),
    f64x2.splat(4503599627370496 + 1023),
  );
  const t = f64x2.div(f64x2.sub(m, one), f64x2.add(m, one));
  const z = f64x2.mul(t, t);
  let series = f64x2.splat(1.0 / 9);
  series = f64x2.add(f64x2.mul(series, z), f64x2.splat(1.0 / 7));
  series = f64x2.add(f64x2.mul(series, z), f64x2.splat(1.0 / 5));
  series = f64x2.add(f64x2.mul(series, z), f64x2.splat(1.0 / 3));
  series = f64x2.add(f64x2.mul(series, z), one);
  return f64x2.add(
    f64x2.mul(e, f64x2.splat(OCTAVE)),
    f64x2.mul(f64x2.mul(t, f64x2.splat(TWICE_NEPER)), series),
  );
}

/** The same in single precision: 2^23 to an exponent, and the series' end leaves 2e-7 dB. */
function roughLevel(p: v128): v128 {
  const one = f32x4.splat(1);
  const biased = v128.and(i32x4.add(p, i32x4.splat(BIAS_32 - SQRT_HALF_32)), i32x4.splat(0x7f800000));
  const m = i32x4.add(i32x4.sub(p, biased), i32x4.splat(BIAS_32));
  const e = f32x4.convert_i32x4_s(i32x4.shr_s(i32x4.sub(biased, i32x4.splat(BIAS_32)), 23));
  const t = f32x4.div(f32x4.sub(m, one), f32x4.add(m, one));
  const z = f32x4.mul(t, t);
  let series = f32x4.splat(1.0 / 7);
  series = f32x4.add(f32x4.mul(series, z), f32x4.splat(1.0 / 5));
  series = f32x4.add(f32x4.mul(series, z), f32x4.splat(1.0 / 3));
  series = f32x4.add(f32x4.mul(series, z), one);
  return f32x4.add(
    f32x4.mul(e, f32x4.splat(<f32>OCTAVE)),
    f32x4.mul(f32x4.mul(t, f32x4.splat(<f32>TWICE_NEPER)), series),
  );
}
