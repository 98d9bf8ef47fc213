/**
 * Sums over seats for one offset of the subs, two seats at a time (WebAssembly SIMD): the same as plainSums in
 * lib/decision/seat-costs.ts.
 *
 * This file is AssemblyScript; `npm run wasm` compiles it into lib/decision/seat-costs-wasm.ts. Every pointer is a byte
 * offset into the imported memory, every array holds doubles, a multiple of four.
 */

const PAIR: usize = 16;
/** Bits of 2^52: below it lies a whole number. */
const WHOLE: i64 = 0x4330000000000000;
const EXPONENT: i64 = 0x7ff0000000000000;
const BIAS: i64 = 1023 << 52;
/** Upper half of the bits of √½; what lies above counts to the next exponent. */
const SQRT_HALF: i64 = 0x3fe6a09e << 32;
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
 * What needs no logarithm; arguments as for `means`.
 *
 * @param out  from the third place on: least and most power, shares within 3 and within 6 dB
 */
export function extremes(
  seats: i32,
  a: usize,
  b: usize,
  c: usize,
  weights: usize,
  g: f64,
  floor: f64,
  out: usize,
): void {
  let least = f64x2.splat(Infinity);
  let most = f64x2.splat(floor);
  let within3 = f64x2.splat(0);
  let within6 = f64x2.splat(0);
  const end = <usize>seats * 8;
  for (let i: usize = 0; i < end; i += PAIR) {
    const w = v128.load(weights + i);
    const p = power(a + i, b + i, c + i, g);
    least = f64x2.pmin(least, p);
    most = f64x2.pmax(most, p);
    within3 = f64x2.add(within3, v128.and(w, between(p, DOWN_3, UP_3)));
    within6 = f64x2.add(within6, v128.and(w, between(p, DOWN_6, UP_6)));
  }
  store<f64>(out + 16, max(floor, min(f64x2.extract_lane(least, 0), f64x2.extract_lane(least, 1))));
  store<f64>(out + 24, max(f64x2.extract_lane(most, 0), f64x2.extract_lane(most, 1)));
  store<f64>(out + 32, f64x2.extract_lane(within3, 0) + f64x2.extract_lane(within3, 1));
  store<f64>(out + 40, f64x2.extract_lane(within6, 0) + f64x2.extract_lane(within6, 1));
}

/** Powers 3 and 6 dB from the wanted one. */
const DOWN_3: f64 = 0.5011872336272722;
const UP_3: f64 = 1.9952623149688795;
const DOWN_6: f64 = 0.251188643150958;
const UP_6: f64 = 3.9810717055349722;

function between(p: v128, from: f64, to: f64): v128 {
  return v128.and(f64x2.ge(p, f64x2.splat(from)), f64x2.le(p, f64x2.splat(to)));
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
