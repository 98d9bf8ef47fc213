/**
 * What a path does to the sound on its way, over frequency, two at a time (WebAssembly SIMD): the same as
 * plainPathKernel in lib/field/path-kernel.ts, which says what it means.
 *
 * This file is AssemblyScript; `npm run wasm` compiles it into lib/field/path-weights-wasm.ts. Every pointer is a byte
 * offset into the imported memory, every array holds doubles and has room for a whole number of pairs.
 */

const PAIR: usize = 16;
const PI: f64 = Math.PI;
const MAGIC: f64 = 6755399441055744; // 1.5 · 2^52: added, it leaves the nearest whole number in the low bits

/** Added to a whole number, it leaves 16 times that in the low bits. */
const TWO_TO_48: f64 = 281474976710656;

/** Bytes that the frequencies take; per frequency k/π, air's nepers per metre, √(1/λ). */
let end: usize = 0;
let k: usize = 0;
let nepers: usize = 0;
let root: usize = 0;
/** E(v) of edges: real and imaginary part per point, and the last point, which is 0 like all beyond. */
let table: usize = 0;
let last: f64 = 0;
let perUnit: f64 = 0;
let fadeFrom: f64 = 0;
/** Factors of the two directions: real and imaginary part of each. */
let across: usize = 0;
let along: usize = 0;

export function setup(
  frequencies: i32,
  k_: usize,
  nepers_: usize,
  root_: usize,
  table_: usize,
  last_: f64,
  perUnit_: f64,
  fadeFrom_: f64,
  scratch: usize,
): void {
  end = <usize>frequencies * 8;
  k = k_;
  nepers = nepers_;
  root = root_;
  table = table_;
  last = last_;
  perUnit = perUnit_;
  fadeFrom = fadeFrom_;
  across = scratch;
  along = scratch + 2 * end;
}

/**
 * Drive × pattern × air.
 *
 * @param drive  real parts, then imaginary ones
 * @param re, im  result
 * @param gain  of the pattern at all frequencies
 * @param width, height  half the piston's sides times the direction cosines along them; 0 for none
 * @param length  metres
 * @param rear  nepers behind a piston that beams, 0 in front; `area` is its radius squared times π²
 */
export function begin(
  drive: usize,
  re: usize,
  im: usize,
  gain: f64,
  width: f64,
  height: f64,
  length: f64,
  rear: f64,
  area: f64,
): void {
  for (let i: usize = 0; i < end; i += PAIR) {
    const turns = v128.load(k + i);
    let factor = f64x2.splat(gain);
    if (width !== 0 || height !== 0) {
      const x = f64x2.mul(turns, f64x2.splat(width));
      const y = f64x2.mul(turns, f64x2.splat(height));
      const sines = f64x2.mul(sincSine(x), sincSine(y));
      factor = f64x2.div(f64x2.mul(factor, sines), f64x2.mul(sincTurns(x), sincTurns(y)));
    }
    let loss = f64x2.mul(v128.load(nepers + i), f64x2.splat(length));
    if (rear !== 0) {
      const large = f64x2.mul(f64x2.mul(turns, turns), f64x2.splat(area));
      const share = f64x2.div(large, f64x2.add(f64x2.splat(1), large));
      loss = f64x2.add(loss, f64x2.mul(f64x2.splat(rear), share));
    }
    factor = f64x2.mul(factor, lessBy(loss));
    v128.store(re + i, f64x2.mul(factor, v128.load(drive + i)));
    v128.store(im + i, f64x2.mul(factor, v128.load(drive + end + i)));
  }
}

/**
 * Multiplies by F F', or by what passes.
 *
 * @param d1, d2, d3, d4  signed detours over the edges, metres
 * @param act  0 reflected, 1 passed, 2 in shadow
 */
export function finite(re: usize, im: usize, d1: f64, d2: f64, d3: f64, d4: f64, act: i32): void {
  const outsideAcross = d1 < 0 || d2 < 0;
  const outsideAlong = d3 < 0 || d4 < 0;
  const hit = !outsideAcross && !outsideAlong;
  const shadow = act === 2 && hit;
  const most = shadow ? below(min(min(abs(d1), abs(d2)), min(abs(d3), abs(d4)))) : end;
  const a = covered(d1, d2, most, across);
  const b = covered(d3, d4, most, along);
  let count = max(a, b);
  if (outsideAcross) count = min(count, a);
  if (outsideAlong) count = min(count, b);
  const one = f64x2.splat(1);
  for (let i: usize = 0; i < count; i += PAIR) {
    let p: v128, q: v128;
    if (b === 0) {
      p = v128.load(across + i);
      q = v128.load(across + end + i);
    } else {
      p = v128.load(along + i);
      q = v128.load(along + end + i);
      if (a !== 0) {
        const x = v128.load(across + i);
        const y = v128.load(across + end + i);
        const product = f64x2.sub(f64x2.mul(x, p), f64x2.mul(y, q));
        q = f64x2.add(f64x2.mul(x, q), f64x2.mul(y, p));
        p = product;
      }
    }
    if (act !== 0) {
      p = f64x2.sub(one, p);
      q = f64x2.neg(q);
    }
    multiply(re + i, im + i, p, q);
  }
  if (shadow) {
    for (let i = count; i < end; i += PAIR) {
      const perWavelength = f64x2.mul(v128.load(root + i), v128.load(root + i));
      let p = f64x2.splat(0);
      let q = f64x2.splat(0);
      for (let edge = 0; edge < 4; edge++) {
        const d = edge === 0 ? d1 : edge === 1 ? d2 : edge === 2 ? d3 : d4;
        if (d === Infinity) continue;
        const waves = f64x2.mul(perWavelength, f64x2.splat(d));
        // The phase in half turns: −2 (waves + 1/8).
        const turns = f64x2.sub(f64x2.splat(-0.25), f64x2.add(waves, waves));
        const n = f64x2.add(turns, f64x2.splat(MAGIC));
        const z = f64x2.sub(turns, f64x2.sub(n, f64x2.splat(MAGIC)));
        const y = f64x2.mul(z, z);
        const size = f64x2.div(f64x2.splat(1 / (2 * Math.SQRT2 * PI)), f64x2.sqrt(waves));
        const signed = v128.xor(size, i64x2.shl(n, 63));
        p = f64x2.add(p, f64x2.mul(signed, cosine(y)));
        q = f64x2.add(q, f64x2.mul(signed, f64x2.mul(f64x2.mul(z, f64x2.splat(PI)), sine(y))));
      }
      multiply(re + i, im + i, p, q);
    }
  } else if (hit === (act !== 0)) {
    memory.fill(re + count, 0, end - count);
    memory.fill(im + count, 0, end - count);
  }
}

/** Bytes of the frequencies, in whole pairs, below that at which an edge of this detour is where the fading begins. */
function below(detour: f64): usize {
  const limit = fadeFrom / (2 * sqrt(detour));
  let i: usize = 0;
  while (i < end && load<f64>(root + i) < limit) i += PAIR;
  return i;
}

/** 1 − E − E of one direction's edges; returns the bytes of the frequencies, in whole pairs, that feel one. */
function covered(d1: f64, d2: f64, most: usize, into: usize): usize {
  if (d1 === Infinity && d2 === Infinity) return 0;
  let base: f64 = 1;
  if (d1 < 0) base -= 1;
  if (d2 < 0) base -= 1;
  const all = f64x2.splat(base);
  for (let i: usize = 0; i < most; i += PAIR) v128.store(into + i, all);
  memory.fill(into + end, 0, most);
  return max(edge(d1, most, into), edge(d2, most, into));
}

/** Takes E of one edge, or what is left of it seen from outside. */
function edge(d: f64, most: usize, into: usize): usize {
  const scale = f64x2.splat(2 * sqrt(abs(d)) * perUnit);
  const sign = f64x2.splat(d < 0 ? 1 : -1);
  const limit = f64x2.splat(last);
  let i: usize = 0;
  for (; i < most; i += PAIR) {
    const at = f64x2.pmin(f64x2.mul(scale, v128.load(root + i)), limit);
    if (!(f64x2.extract_lane(at, 0) < last)) break;
    const whole = f64x2.floor(at);
    const part = f64x2.sub(at, whole);
    // 16 bytes a point: the whole number times 16 in the low bits.
    const offset = f64x2.add(whole, f64x2.splat(TWO_TO_48));
    const p0 = table + <usize>i32x4.extract_lane(offset, 0);
    const p1 = table + <usize>i32x4.extract_lane(offset, 2);
    const a0 = v128.load(p0);
    const a1 = v128.load(p1);
    const b0 = v128.load(p0, 16);
    const b1 = v128.load(p1, 16);
    const aRe = v128.shuffle<f64>(a0, a1, 0, 2);
    const aIm = v128.shuffle<f64>(a0, a1, 1, 3);
    const bRe = v128.shuffle<f64>(b0, b1, 0, 2);
    const bIm = v128.shuffle<f64>(b0, b1, 1, 3);
    const eRe = f64x2.add(aRe, f64x2.mul(part, f64x2.sub(bRe, aRe)));
    const eIm = f64x2.add(aIm, f64x2.mul(part, f64x2.sub(bIm, aIm)));
    const re = into + i;
    const im = into + end + i;
    v128.store(re, f64x2.add(v128.load(re), f64x2.mul(sign, eRe)));
    v128.store(im, f64x2.add(v128.load(im), f64x2.mul(sign, eIm)));
  }
  return i;
}

function multiply(re: usize, im: usize, p: v128, q: v128): void {
  const x = v128.load(re);
  const y = v128.load(im);
  v128.store(re, f64x2.sub(f64x2.mul(x, p), f64x2.mul(y, q)));
  v128.store(im, f64x2.add(f64x2.mul(x, q), f64x2.mul(y, p)));
}

/** sin(πt)/(πt) is this over that, sin(πt)/π over t; near 0, where both would be 0, sin(πt)/(πt) over 1. */
function sincSine(t: v128): v128 {
  const n = f64x2.add(t, f64x2.splat(MAGIC));
  const z = f64x2.sub(t, f64x2.sub(n, f64x2.splat(MAGIC)));
  const s = sine(f64x2.mul(z, z));
  return v128.bitselect(s, v128.xor(f64x2.mul(z, s), i64x2.shl(n, 63)), isNear(t));
}

function sincTurns(t: v128): v128 {
  return v128.bitselect(f64x2.splat(1), t, isNear(t));
}

function isNear(t: v128): v128 {
  return f64x2.lt(f64x2.abs(t), f64x2.splat(0.4));
}

/** e^{−x} for x from 0 on, by 2^n and the series of the rest to its sixth power, which leaves 1e-7. */
function lessBy(x: v128): v128 {
  const t = f64x2.mul(f64x2.pmin(x, f64x2.splat(600)), f64x2.splat(-1 / Math.LN2));
  const n = f64x2.add(t, f64x2.splat(MAGIC));
  const r = f64x2.mul(f64x2.sub(t, f64x2.sub(n, f64x2.splat(MAGIC))), f64x2.splat(Math.LN2));
  let e = f64x2.splat(1.0 / 720);
  e = step(e, r, 1.0 / 120);
  e = step(e, r, 1.0 / 24);
  e = step(e, r, 1.0 / 6);
  e = step(e, r, 0.5);
  e = step(e, r, 1);
  e = step(e, r, 1);
  return i64x2.add(e, i64x2.shl(n, 52));
}

const P2: f64 = PI * PI;
const S1: f64 = -P2 / 6;
const S2: f64 = (-S1 * P2) / 20;
const S3: f64 = (-S2 * P2) / 42;
const S4: f64 = (-S3 * P2) / 72;
const S5: f64 = (-S4 * P2) / 110;

/** sin(πz)/(πz) of y = z², z −½…½: the series to z¹⁰ leaves 6e-8. */
function sine(y: v128): v128 {
  let s = f64x2.splat(S5);
  s = step(s, y, S4);
  s = step(s, y, S3);
  s = step(s, y, S2);
  s = step(s, y, S1);
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
  let c = f64x2.splat(C6);
  c = step(c, y, C5);
  c = step(c, y, C4);
  c = step(c, y, C3);
  c = step(c, y, C2);
  c = step(c, y, C1);
  return step(c, y, 1);
}

/** Horner's step. */
function step(sum: v128, x: v128, coefficient: f64): v128 {
  return f64x2.add(f64x2.mul(sum, x), f64x2.splat(coefficient));
}
