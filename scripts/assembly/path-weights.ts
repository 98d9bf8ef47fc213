/**
 * What a path does to the sound on its way, over frequency, four at a time (WebAssembly SIMD): the same as
 * plainPathKernel in lib/field/path-sum/plain.ts, which says what it means.
 *
 * Single precision: good to 1e-6 of the path's own amplitude, to 5e-6 deep in a shadow, where the phase turns often.
 * Drive and weights stay in double precision.
 *
 * This file is AssemblyScript; `npm run wasm` compiles it into lib/field/path-sum/weights.generated.ts. Every pointer is a byte
 * offset into the imported memory, every array has room for a whole number of fours.
 */

/** Bytes of four frequencies, and of half of them in double precision. */
const FOUR: usize = 16;
const PI: f32 = <f32>Math.PI;
const MAGIC: f32 = 12582912; // 1.5 · 2^23: added, it leaves the nearest whole number in the low bits

/** Bytes that the frequencies take; per frequency k/π, air's nepers per metre, √(1/λ). */
let end: usize = 0;
let k: usize = 0;
let nepers: usize = 0;
let root: usize = 0;
/** E(v) of edges: per point real and imaginary part, and how much they grow to the next; 0 at the last and beyond. */
let table: usize = 0;
let last: f32 = 0;
let perUnit: f64 = 0;
let fadeFrom: f64 = 0;
/** Bytes that an edge's notes take, and where they lie. */
const EDGE: usize = 16;
let edges: usize = 0;

export function setup(
  frequencies: i32,
  k_: usize,
  nepers_: usize,
  root_: usize,
  table_: usize,
  last_: f32,
  perUnit_: f64,
  fadeFrom_: f64,
  scratch: usize,
): void {
  end = <usize>frequencies * 4;
  k = k_;
  nepers = nepers_;
  root = root_;
  table = table_;
  last = last_;
  perUnit = perUnit_;
  fadeFrom = fadeFrom_;
  edges = scratch;
}

/**
 * Drive × pattern × air × what the boundaries keep.
 *
 * @param drive  real parts, then imaginary ones, in double precision
 * @param re, im  result, in double precision
 * @param gain  of the pattern at all frequencies
 * @param width, height  half the piston's sides times the direction cosines along them; 0 for none
 * @param length  metres
 * @param rear  nepers behind a piston that beams, 0 in front; `area` is its radius squared times π²
 * @param kept  of the boundaries, per frequency; 0 for all
 */
export function begin(
  drive: usize,
  re: usize,
  im: usize,
  gain: f32,
  width: f32,
  height: f32,
  length: f32,
  rear: f32,
  area: f32,
  kept: usize,
): void {
  for (let i: usize = 0; i < end; i += FOUR) {
    const turns = v128.load(k + i);
    let factor = f32x4.splat(gain);
    if (width !== 0 || height !== 0) {
      const x = f32x4.mul(turns, f32x4.splat(width));
      const y = f32x4.mul(turns, f32x4.splat(height));
      const sines = f32x4.mul(sincSine(x), sincSine(y));
      factor = f32x4.div(f32x4.mul(factor, sines), f32x4.mul(sincTurns(x), sincTurns(y)));
    }
    let loss = f32x4.mul(v128.load(nepers + i), f32x4.splat(length));
    if (rear !== 0) {
      const large = f32x4.mul(f32x4.mul(turns, turns), f32x4.splat(area));
      const share = f32x4.div(large, f32x4.add(f32x4.splat(1), large));
      loss = f32x4.add(loss, f32x4.mul(f32x4.splat(rear), share));
    }
    factor = f32x4.mul(factor, lessBy(loss));
    if (kept !== 0) factor = f32x4.mul(factor, v128.load(kept + i));
    const a = lower(factor);
    const b = upper(factor);
    const j: usize = 2 * i;
    const driveIm = drive + 2 * end;
    v128.store(re + j, f64x2.mul(a, v128.load(drive + j)));
    v128.store(re + j, f64x2.mul(b, v128.load(drive + j, FOUR)), FOUR);
    v128.store(im + j, f64x2.mul(a, v128.load(driveIm + j)));
    v128.store(im + j, f64x2.mul(b, v128.load(driveIm + j, FOUR)), FOUR);
  }
}

/**
 * Multiplies by F F', or by what passes.
 *
 * @param re, im  weights, in double precision
 * @param d1, d2, d3, d4  signed detours over the edges, metres
 * @param act  0 reflected, 1 passed, 2 in shadow
 */
export function finite(re: usize, im: usize, d1: f64, d2: f64, d3: f64, d4: f64, act: i32): void {
  const outsideAcross = d1 < 0 || d2 < 0;
  const outsideAlong = d3 < 0 || d4 < 0;
  const hit = !outsideAcross && !outsideAlong;
  const shadow = act === 2 && hit;
  const most = shadow ? below(fadeFrom / (2 * sqrt(min(min(abs(d1), abs(d2)), min(abs(d3), abs(d4)))))) : end;
  const a = max(prepare(0, d1, most), prepare(1, d2, most));
  const b = max(prepare(2, d3, most), prepare(3, d4, most));
  let count = max(a, b);
  // Outside in one direction, nothing is left where that direction has come to 0.
  if (outsideAcross) count = min(count, a);
  if (outsideAlong) count = min(count, b);
  // E of an edge that the path passes on the far side of is 1 − E of its distance.
  const across = f32x4.splat((d1 < 0 ? 0 : 1) - <f32>(d2 < 0 ? 1 : 0));
  const along = f32x4.splat((d3 < 0 ? 0 : 1) - <f32>(d4 < 0 ? 1 : 0));
  for (let i: usize = 0; i < count; i += FOUR) {
    const v = v128.load(root + i);
    // Of the direction at hand, then of both.
    let p = across;
    let q = f32x4.splat(0);
    let x = across;
    let y = q;
    for (let e = edges; e < edges + 4 * EDGE; e += EDGE) {
      if (e === edges + 2 * EDGE) {
        x = p;
        y = q;
        p = along;
        q = f32x4.splat(0);
      }
      if (i >= load<usize>(e, 8)) continue;
      const at = f32x4.pmin(f32x4.mul(v128.load32_splat(e), v), f32x4.splat(last));
      const index = i32x4.trunc_sat_f32x4_s(at);
      const part = f32x4.sub(at, f32x4.convert_i32x4_s(index));
      const offset = i32x4.shl(index, 4);
      const e0 = v128.load(table + <usize>i32x4.extract_lane(offset, 0));
      const e1 = v128.load(table + <usize>i32x4.extract_lane(offset, 1));
      const e2 = v128.load(table + <usize>i32x4.extract_lane(offset, 2));
      const e3 = v128.load(table + <usize>i32x4.extract_lane(offset, 3));
      const a = v128.shuffle<f32>(e0, e1, 0, 4, 1, 5);
      const b = v128.shuffle<f32>(e2, e3, 0, 4, 1, 5);
      const c = v128.shuffle<f32>(e0, e1, 2, 6, 3, 7);
      const d = v128.shuffle<f32>(e2, e3, 2, 6, 3, 7);
      const growth = v128.shuffle<f64>(c, d, 0, 2);
      const growthIm = v128.shuffle<f64>(c, d, 1, 3);
      const sign = v128.load32_splat(e, 4);
      p = f32x4.add(p, f32x4.mul(sign, f32x4.add(v128.shuffle<f64>(a, b, 0, 2), f32x4.mul(part, growth))));
      q = f32x4.add(q, f32x4.mul(sign, f32x4.add(v128.shuffle<f64>(a, b, 1, 3), f32x4.mul(part, growthIm))));
    }
    let re4 = f32x4.sub(f32x4.mul(x, p), f32x4.mul(y, q));
    let im4 = f32x4.add(f32x4.mul(x, q), f32x4.mul(y, p));
    if (act !== 0) {
      re4 = f32x4.sub(f32x4.splat(1), re4);
      im4 = f32x4.neg(im4);
    }
    multiply(re + 2 * i, im + 2 * i, re4, im4);
  }
  if (shadow) {
    for (let i = count; i < end; i += FOUR) {
      const perWavelength = f32x4.mul(v128.load(root + i), v128.load(root + i));
      let p = f32x4.splat(0);
      let q = f32x4.splat(0);
      for (let edge = 0; edge < 4; edge++) {
        const d = edge === 0 ? d1 : edge === 1 ? d2 : edge === 2 ? d3 : d4;
        if (d === Infinity) continue;
        const waves = f32x4.mul(perWavelength, f32x4.splat(<f32>d));
        // The phase in half turns: −2 (waves + 1/8).
        const turns = f32x4.sub(f32x4.splat(-0.25), f32x4.add(waves, waves));
        const n = f32x4.add(turns, f32x4.splat(MAGIC));
        const z = f32x4.sub(turns, f32x4.sub(n, f32x4.splat(MAGIC)));
        const y = f32x4.mul(z, z);
        const size = f32x4.div(f32x4.splat(1 / (2 * <f32>Math.SQRT2 * PI)), f32x4.sqrt(waves));
        const signed = v128.xor(size, i32x4.shl(n, 31));
        p = f32x4.add(p, f32x4.mul(signed, cosine(y)));
        q = f32x4.add(q, f32x4.mul(signed, f32x4.mul(f32x4.mul(z, f32x4.splat(PI)), sine(y))));
      }
      multiply(re + 2 * i, im + 2 * i, p, q);
    }
  } else if (hit === (act !== 0)) {
    memory.fill(re + 2 * count, 0, 2 * (end - count));
    memory.fill(im + 2 * count, 0, 2 * (end - count));
  }
}

/** Bytes of the frequencies, in whole fours, below that at which √(1/λ) reaches a limit. */
function below(limit: f64): usize {
  let low: usize = 0;
  let high: usize = end / FOUR;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (load<f32>(root + middle * FOUR) < limit) low = middle + 1;
    else high = middle;
  }
  return low * FOUR;
}

/**
 * Notes of one edge how E is found, its sign, and the bytes of the frequencies, in whole fours, that feel it, which it
 * returns.
 */
function prepare(index: i32, d: f64, most: usize): usize {
  const at = edges + <usize>index * EDGE;
  const scale = 2 * sqrt(abs(d)) * perUnit;
  const felt = abs(d) === Infinity ? 0 : min(most, below(<f64>last / scale));
  store<f32>(at, <f32>scale);
  store<f32>(at, d < 0 ? 1 : -1, 4);
  store<usize>(at, felt, 8);
  return felt;
}

/** Weights times p + jq, four of each. */
function multiply(re: usize, im: usize, p: v128, q: v128): void {
  multiplyTwo(re, im, lower(p), lower(q));
  multiplyTwo(re + FOUR, im + FOUR, upper(p), upper(q));
}

function multiplyTwo(re: usize, im: usize, p: v128, q: v128): void {
  const x = v128.load(re);
  const y = v128.load(im);
  v128.store(re, f64x2.sub(f64x2.mul(x, p), f64x2.mul(y, q)));
  v128.store(im, f64x2.add(f64x2.mul(x, q), f64x2.mul(y, p)));
}

/** Two of four in double precision. */
function lower(x: v128): v128 {
  return f64x2.promote_low_f32x4(x);
}

function upper(x: v128): v128 {
  return f64x2.promote_low_f32x4(v128.shuffle<f64>(x, x, 1, 1));
}

/** sin(πt)/(πt) is this over that, sin(πt)/π over t; near 0, where both would be 0, sin(πt)/(πt) over 1. */
function sincSine(t: v128): v128 {
  const n = f32x4.add(t, f32x4.splat(MAGIC));
  const z = f32x4.sub(t, f32x4.sub(n, f32x4.splat(MAGIC)));
  const s = sine(f32x4.mul(z, z));
  return v128.bitselect(s, v128.xor(f32x4.mul(z, s), i32x4.shl(n, 31)), isNear(t));
}

function sincTurns(t: v128): v128 {
  return v128.bitselect(f32x4.splat(1), t, isNear(t));
}

function isNear(t: v128): v128 {
  return f32x4.lt(f32x4.abs(t), f32x4.splat(0.4));
}

/** e^{−x} for x from 0 on, by 2^n and the series of the rest to its sixth power, which leaves 1e-7. */
function lessBy(x: v128): v128 {
  const t = f32x4.mul(f32x4.pmin(x, f32x4.splat(80)), f32x4.splat(<f32>(-1 / Math.LN2)));
  const n = f32x4.add(t, f32x4.splat(MAGIC));
  const r = f32x4.mul(f32x4.sub(t, f32x4.sub(n, f32x4.splat(MAGIC))), f32x4.splat(<f32>Math.LN2));
  let e = f32x4.splat(1.0 / 720);
  e = step(e, r, 1.0 / 120);
  e = step(e, r, 1.0 / 24);
  e = step(e, r, 1.0 / 6);
  e = step(e, r, 0.5);
  e = step(e, r, 1);
  e = step(e, r, 1);
  return i32x4.add(e, i32x4.shl(n, 23));
}

const P2: f64 = Math.PI * Math.PI;
const S1: f64 = -P2 / 6;
const S2: f64 = (-S1 * P2) / 20;
const S3: f64 = (-S2 * P2) / 42;
const S4: f64 = (-S3 * P2) / 72;
const S5: f64 = (-S4 * P2) / 110;

/** sin(πz)/(πz) of y = z², z −½…½: the series to z¹⁰ leaves 6e-8. */
function sine(y: v128): v128 {
  let s = f32x4.splat(<f32>S5);
  s = step(s, y, <f32>S4);
  s = step(s, y, <f32>S3);
  s = step(s, y, <f32>S2);
  s = step(s, y, <f32>S1);
  return step(s, y, 1);
}

const C1: f64 = -P2 / 2;
const C2: f64 = (-C1 * P2) / 12;
const C3: f64 = (-C2 * P2) / 30;
const C4: f64 = (-C3 * P2) / 56;
const C5: f64 = (-C4 * P2) / 90;
const C6: f64 = (-C5 * P2) / 132;

/** cos(πz) of y = z², z −½…½: the series to z¹² leaves 7e-9. */
function cosine(y: v128): v128 {
  let c = f32x4.splat(<f32>C6);
  c = step(c, y, <f32>C5);
  c = step(c, y, <f32>C4);
  c = step(c, y, <f32>C3);
  c = step(c, y, <f32>C2);
  c = step(c, y, <f32>C1);
  return step(c, y, 1);
}

/** Horner's step. */
function step(sum: v128, x: v128, coefficient: f32): v128 {
  return f32x4.add(f32x4.mul(sum, x), f32x4.splat(coefficient));
}
