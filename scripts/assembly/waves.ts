/**
 * One step in time of the wave equation on a grid of cubes (WebAssembly SIMD): see lib/field/waves/run.ts.
 *
 * This file is AssemblyScript; `npm run wasm` compiles it into lib/field/waves/waves.generated.ts. Every pointer is a byte
 * offset into the imported memory. Four fields are stepped at once: the pressure of a piece is four floats, one a field, so
 * that the pieces at walls, each with neighbours of its own, go as quickly as those in plain air.
 */

/** Bytes to the next row and to the next layer of cubes. */
let nextRow: usize = 0;
let nextLayer: usize = 0;
/** Weight of the twelve edges; a face weighs two of them, and the cell itself `middle` more than four. */
let edge: f32 = 0;
let middle: f32 = 0;

/** What stays the same from step to step. */
export function grid(nx: i32, ny: i32, weight: f32, more: f32): void {
  nextRow = <usize>nx << 4;
  nextLayer = nextRow * <usize>ny;
  edge = weight;
  middle = more;
}

// @ts-expect-error: decorator
@inline
function add(a: v128, b: v128): v128 {
  return f32x4.add(a, b);
}

/** Bytes before a pattern's resonances, and of each of these. */
const HEAD: usize = 40;
const RESONANCE: usize = 20;

/** The pressures above and below. */
// @ts-expect-error: decorator
@inline
function upright(at: usize, layer: usize): v128 {
  return add(v128.load(at - layer), v128.load(at + layer));
}

/**
 * Plain air in spans along x, each the offset of its first cell and how many there are: `old` becomes the next pressure.
 *
 * With the ring of the four neighbours in a plane across x, twice the cell added, a cell's next pressure is the sum of this for the
 * cells before and beyond it and twice for its own, of the four corners of its ring, and of itself. So a span goes from cell to cell
 * with two sums at hand, and two rows side by side share what stands upright in them: eleven sums a cell.
 *
 * A row by itself comes out equal to the last bit.
 *
 * @param spans  of pairs of rows, of which each names the first; from `pairs` on those of single rows
 */
export function air(spans: usize, pairs: usize, end: usize, now: usize, old: usize): void {
  two(spans, pairs, now, old, nextRow, nextLayer);
  one(pairs, end, now, old, nextRow, nextLayer);
}

// Strides as arguments stay in registers.
function two(spans: usize, end: usize, now: usize, old: usize, row: usize, layer: usize): void {
  const c = f32x4.splat(edge);
  const more = f32x4.splat(middle);
  const off = old - now;
  for (let s = spans; s < end; s += 8) {
    let at = now + <usize>load<u32>(s);
    const stop = at + (<usize>load<u32>(s + 4) << 4);
    // Of the cell before and of the first: a for the first row, b for the second.
    let a = v128.load(at - 16);
    let b = v128.load(at - 16 + row);
    let ringA = add(add(upright(at - 16, layer), add(v128.load(at - 16 - row), b)), add(a, a));
    let ringB = add(add(upright(at - 16 + row, layer), add(a, v128.load(at - 16 + row + row))), add(b, b));
    a = v128.load(at);
    b = v128.load(at + row);
    const here = upright(at, layer);
    const beside = upright(at + row, layer);
    const firstA = add(add(here, add(v128.load(at - row), b)), add(a, a));
    const firstB = add(add(beside, add(a, v128.load(at + row + row))), add(b, b));
    let sumA = add(add(ringA, firstA), add(add(upright(at - row, layer), beside), f32x4.mul(more, a)));
    let sumB = add(add(ringB, firstB), add(add(here, upright(at + row + row, layer)), f32x4.mul(more, b)));
    ringA = firstA;
    ringB = firstB;
    // Loads just before what needs them and no unrolling, else registers run out.
    while (at < stop) {
      const n = at - row;
      const e = at + row;
      const f = e + row;
      const nd = n - layer;
      const nu = n + layer;
      const d = at - layer;
      const u = at + layer;
      const ed = e - layer;
      const eu = e + layer;
      const fd = f - layer;
      const fu = f + layer;
      const toA = at + off;
      const toB = e + off;
      const nextA = v128.load(at, 16);
      const nextB = v128.load(e, 16);
      const uprightA = add(v128.load(d, 16), v128.load(u, 16));
      const uprightB = add(v128.load(ed, 16), v128.load(eu, 16));
      const aheadA = add(add(uprightA, add(v128.load(n, 16), nextB)), add(nextA, nextA));
      const bothA = add(ringA, aheadA);
      ringA = aheadA;
      v128.store(toA, f32x4.sub(f32x4.mul(c, add(sumA, bothA)), v128.load(toA)));
      sumA = add(bothA, add(add(add(v128.load(nd, 16), v128.load(nu, 16)), uprightB), f32x4.mul(more, nextA)));
      const aheadB = add(add(uprightB, add(nextA, v128.load(f, 16))), add(nextB, nextB));
      const bothB = add(ringB, aheadB);
      ringB = aheadB;
      v128.store(toB, f32x4.sub(f32x4.mul(c, add(sumB, bothB)), v128.load(toB)));
      sumB = add(bothB, add(add(uprightA, add(v128.load(fd, 16), v128.load(fu, 16))), f32x4.mul(more, nextB)));
      at += 16;
    }
  }
}

function one(spans: usize, end: usize, now: usize, old: usize, row: usize, layer: usize): void {
  const c = f32x4.splat(edge);
  const more = f32x4.splat(middle);
  const off = old - now;
  for (let s = spans; s < end; s += 8) {
    let at = now + <usize>load<u32>(s);
    const stop = at + (<usize>load<u32>(s + 4) << 4);
    let a = v128.load(at - 16);
    let ring = add(add(upright(at - 16, layer), add(v128.load(at - 16 - row), v128.load(at - 16 + row))), add(a, a));
    a = v128.load(at);
    const first = add(add(upright(at, layer), add(v128.load(at - row), v128.load(at + row))), add(a, a));
    let sum = add(add(ring, first), add(add(upright(at - row, layer), upright(at + row, layer)), f32x4.mul(more, a)));
    ring = first;
    while (at < stop) {
      const to = at + off;
      at += 16;
      a = v128.load(at);
      const ahead = add(add(upright(at, layer), add(v128.load(at - row), v128.load(at + row))), add(a, a));
      const both = add(ring, ahead);
      ring = ahead;
      v128.store(to, f32x4.sub(f32x4.mul(c, add(sum, both)), v128.load(to)));
      sum = add(both, add(add(upright(at - row, layer), upright(at + row, layer)), f32x4.mul(more, a)));
    }
  }
}

/**
 * Pieces at walls: `old` becomes the next pressure.
 *
 * @param groups  per group: from one piece of a run to the next, 0 where each stands for itself; its pattern; the same as lines;
 *   where its resonances' values begin; how many runs or pieces there are; then the first piece of each run and how many it has,
 *   or the pieces
 * @param end  where the groups end
 * @param state  per resonance its value, and its former one, which makes way for the next
 * @param flows  room for what flows to the pieces of the longest run and to six more
 *
 * A pattern: how many entries and resonances; what walls take at once, less 1, and 1 over 1 plus it, each a field by itself; per resonance
 * its filter and its strength in each field; per entry how far from the piece another lies, and its weight.
 *
 * Lines: how many of them have three entries, and how many one; per line how far from the piece it lies, its weight there and, of
 * those with three, its weight one piece of the run ahead and behind.
 */
export function atWalls(groups: usize, end: usize, now: usize, old: usize, state: usize, former: usize, flows: usize): void {
  let group = groups;
  while (group < end) {
    const stride = <usize>load<u32>(group);
    const pattern = <usize>load<u32>(group + 4);
    const lines = <usize>load<u32>(group + 8);
    let values = <usize>load<u32>(group + 12);
    const first = group + 20;
    const each = <usize>load<u32>(pattern + 4) << 4;
    if (stride > 0) {
      group = first + (<usize>load<u32>(group + 16) << 3);
      for (let run = first; run < group; run += 8) {
        const count = <usize>load<u32>(run + 4);
        let p = now + <usize>load<u32>(run);
        const last = p + stride * count;
        alongRun(p, last, stride, lines, flows);
        let flow = flows + 32;
        for (const most = last - (stride << 2); p <= most; p += stride << 2) {
          const q = p + stride + stride;
          settleFour(pattern, p, p + stride, q, q + stride, old - now, flow, state + values, former + values, each);
          flow += 64;
          values += each << 2;
        }
        for (; p < last; p += stride) {
          settle(pattern, p, old - now, flow, state + values, former + values);
          flow += 16;
          values += each;
        }
      }
    } else {
      group = first + (<usize>load<u32>(group + 16) << 2);
      let piece = first;
      for (; piece + 12 < group; piece += 16) {
        const p = now + <usize>load<u32>(piece);
        const q = now + <usize>load<u32>(piece + 4);
        const r = now + <usize>load<u32>(piece + 8);
        const s = now + <usize>load<u32>(piece + 12);
        toFour(pattern, p, q, r, s, flows);
        settleFour(pattern, p, q, r, s, old - now, flows, state + values, former + values, each);
        values += each << 2;
      }
      for (; piece < group; piece += 4) {
        const p = now + <usize>load<u32>(piece);
        toOne(pattern, p, flows);
        settle(pattern, p, old - now, flows, state + values, former + values);
        values += each;
      }
    }
  }
}

/**
 * What flows to the pieces of a run: what lines bring is summed up piece by piece, four at a time, and used three times.
 *
 * @param last  the piece after the run
 */
function alongRun(first: usize, last: usize, stride: usize, lines: usize, flows: usize): void {
  const threes = lines + 8;
  const ones = threes + 12 * <usize>load<u32>(lines);
  const stop = ones + (<usize>load<u32>(lines + 4) << 3);
  let into = flows;
  // Of the last two pieces: weighted as beside, and the last as itself.
  let far = f32x4.splat(0);
  let near = far;
  let self = far;
  for (let p = first - stride; p <= last; p += stride << 2) {
    let a0 = f32x4.splat(0);
    let a1 = a0;
    let a2 = a0;
    let a3 = a0;
    let b0 = a0;
    let b1 = a0;
    let b2 = a0;
    let b3 = a0;
    let line = threes;
    for (; line < ones; line += 12) {
      const at = p + <usize>load<u32>(line);
      const own = v128.load32_splat(line + 4);
      const beside = v128.load32_splat(line + 8);
      let value = v128.load(at);
      a0 = add(a0, f32x4.mul(own, value));
      b0 = add(b0, f32x4.mul(beside, value));
      value = v128.load(at + stride);
      a1 = add(a1, f32x4.mul(own, value));
      b1 = add(b1, f32x4.mul(beside, value));
      value = v128.load(at + stride + stride);
      a2 = add(a2, f32x4.mul(own, value));
      b2 = add(b2, f32x4.mul(beside, value));
      value = v128.load(at + stride + stride + stride);
      a3 = add(a3, f32x4.mul(own, value));
      b3 = add(b3, f32x4.mul(beside, value));
    }
    for (; line < stop; line += 8) {
      const at = p + <usize>load<u32>(line);
      const own = v128.load32_splat(line + 4);
      a0 = add(a0, f32x4.mul(own, v128.load(at)));
      a1 = add(a1, f32x4.mul(own, v128.load(at + stride)));
      a2 = add(a2, f32x4.mul(own, v128.load(at + stride + stride)));
      a3 = add(a3, f32x4.mul(own, v128.load(at + stride + stride + stride)));
    }
    // The first two belong to what lies before the run.
    v128.store(into, add(self, add(far, b0)));
    v128.store(into, add(a0, add(near, b1)), 16);
    v128.store(into, add(a1, add(b0, b2)), 32);
    v128.store(into, add(a2, add(b1, b3)), 48);
    into += 64;
    far = b2;
    near = b3;
    self = a3;
  }
}

/** What flows to four pieces, which share what is read of the pattern. */
function toFour(pattern: usize, p: usize, q: usize, r: usize, s: usize, flows: usize): void {
  const entries = pattern + HEAD + RESONANCE * <usize>load<u32>(pattern + 4);
  const stop = entries + (<usize>load<u32>(pattern) << 3);
  let a = f32x4.splat(0);
  let b = a;
  let c = a;
  let d = a;
  for (let at = entries; at < stop; at += 8) {
    const offset = <usize>load<u32>(at);
    const weight = v128.load32_splat(at + 4);
    a = add(a, f32x4.mul(weight, v128.load(p + offset)));
    b = add(b, f32x4.mul(weight, v128.load(q + offset)));
    c = add(c, f32x4.mul(weight, v128.load(r + offset)));
    d = add(d, f32x4.mul(weight, v128.load(s + offset)));
  }
  v128.store(flows, a);
  v128.store(flows, b, 16);
  v128.store(flows, c, 32);
  v128.store(flows, d, 48);
}

function toOne(pattern: usize, p: usize, flows: usize): void {
  const entries = pattern + HEAD + RESONANCE * <usize>load<u32>(pattern + 4);
  const stop = entries + (<usize>load<u32>(pattern) << 3);
  let sum = f32x4.splat(0);
  for (let at = entries; at < stop; at += 8)
    sum = add(sum, f32x4.mul(v128.load32_splat(at + 4), v128.load(p + <usize>load<u32>(at))));
  v128.store(flows, sum);
}

/** The next pressure of a piece from what flows to it, and the next values of its resonances. */
function settle(pattern: usize, p: usize, off: usize, flow: usize, values: usize, others: usize): void {
  const entries = pattern + HEAD + RESONANCE * <usize>load<u32>(pattern + 4);
  const before = v128.load(p + off);
  const now = v128.load(p);
  let sum = add(add(v128.load(flow), add(now, now)), f32x4.mul(v128.load(pattern + 8), before));
  let v: usize = 0;
  for (let b = pattern + HEAD; b < entries; b += RESONANCE) {
    const f = <usize>load<u32>(b);
    sum = f32x4.sub(sum, f32x4.mul(v128.load(b + 4), swing(v128.load32_splat(f + 4), v128.load32_splat(f + 8), values + v, others + v)));
    v += 16;
  }
  const value = f32x4.mul(sum, v128.load(pattern + 24));
  v128.store(p + off, value);
  const change = f32x4.sub(value, before);
  v = 0;
  for (let b = pattern + HEAD; b < entries; b += RESONANCE) {
    v128.store(others + v, add(v128.load(others + v), f32x4.mul(v128.load32_splat(<usize>load<u32>(b)), change)));
    v += 16;
  }
}

/** The same of four pieces at once. */
function settleFour(
  pattern: usize,
  p: usize,
  q: usize,
  r: usize,
  s: usize,
  off: usize,
  flows: usize,
  values: usize,
  others: usize,
  each: usize,
): void {
  const entries = pattern + HEAD + RESONANCE * <usize>load<u32>(pattern + 4);
  const less = v128.load(pattern + 8);
  let w = v128.load(p);
  let a = add(add(v128.load(flows), add(w, w)), f32x4.mul(less, v128.load(p + off)));
  w = v128.load(q);
  let b = add(add(v128.load(flows, 16), add(w, w)), f32x4.mul(less, v128.load(q + off)));
  w = v128.load(r);
  let c = add(add(v128.load(flows, 32), add(w, w)), f32x4.mul(less, v128.load(r + off)));
  w = v128.load(s);
  let d = add(add(v128.load(flows, 48), add(w, w)), f32x4.mul(less, v128.load(s + off)));
  let v = values;
  let o = others;
  for (let at = pattern + HEAD; at < entries; at += RESONANCE) {
    const f = <usize>load<u32>(at);
    const strength = v128.load(at + 4);
    const stays = v128.load32_splat(f + 4);
    const late = v128.load32_splat(f + 8);
    a = f32x4.sub(a, f32x4.mul(strength, swing(stays, late, v, o)));
    b = f32x4.sub(b, f32x4.mul(strength, swing(stays, late, v + each, o + each)));
    c = f32x4.sub(c, f32x4.mul(strength, swing(stays, late, v + each + each, o + each + each)));
    d = f32x4.sub(d, f32x4.mul(strength, swing(stays, late, v + each + each + each, o + each + each + each)));
    v += 16;
    o += 16;
  }
  const all = v128.load(pattern + 24);
  a = changed(p + off, f32x4.mul(a, all));
  b = changed(q + off, f32x4.mul(b, all));
  c = changed(r + off, f32x4.mul(c, all));
  d = changed(s + off, f32x4.mul(d, all));
  o = others;
  for (let at = pattern + HEAD; at < entries; at += RESONANCE) {
    const driven = v128.load32_splat(<usize>load<u32>(at));
    v128.store(o, add(v128.load(o), f32x4.mul(driven, a)));
    v128.store(o + each, add(v128.load(o + each), f32x4.mul(driven, b)));
    v128.store(o + each + each, add(v128.load(o + each + each), f32x4.mul(driven, c)));
    v128.store(o + each + each + each, add(v128.load(o + each + each + each), f32x4.mul(driven, d)));
    o += 16;
  }
}

/** A resonance left to itself: puts its next value in place of the former, and gives by how much it went beyond that. */
// @ts-expect-error: decorator
@inline
function swing(stays: v128, late: v128, value: usize, other: usize): v128 {
  const before = v128.load(other);
  const next = f32x4.sub(f32x4.mul(stays, v128.load(value)), f32x4.mul(late, before));
  v128.store(other, next);
  return f32x4.sub(next, before);
}

/** Puts a value in its place and gives how it differs from the one there. */
// @ts-expect-error: decorator
@inline
function changed(at: usize, value: v128): v128 {
  const before = v128.load(at);
  v128.store(at, value);
  return f32x4.sub(value, before);
}

/** Adds what receivers hear of pieces: entries of the offset of a piece, a weight, and the offset of the receiver's sums. */
export function hear(entries: usize, end: usize, now: usize, into: usize): void {
  for (let e = entries; e < end; e += 12) {
    const to = into + <usize>load<u32>(e + 8);
    const heard = f32x4.mul(v128.load32_splat(e + 4), v128.load(now + <usize>load<u32>(e)));
    v128.store(to, f32x4.add(v128.load(to), heard));
  }
}

/** Adds what sources send: entries of the offset of a piece's field, a weight, and the offset of the source's sample. */
export function send(entries: usize, end: usize, samples: usize, into: usize): void {
  for (let e = entries; e < end; e += 12) {
    const at = into + <usize>load<u32>(e);
    store<f32>(at, load<f32>(at) + load<f32>(e + 4) * load<f32>(samples + <usize>load<u32>(e + 8)));
  }
}

/**
 * The layer that swallows sound, before the pressures are stepped (lib/field/waves/layer.ts): notes the former pressure of its
 * cells and sums up ψ.
 */
export function layerPressure(count: i32, cells: usize, now: usize, old: usize, psi: usize, former: usize, flow: usize, step: f32): void {
  const t = f32x4.splat(step);
  for (let r: usize = 0; r < <usize>count; r++) {
    const cell = <usize>load<u32>(cells + (r << 2));
    v128.store(former + (r << 4), v128.load(old + cell));
    v128.store(psi + (r << 4), f32x4.add(v128.load(psi + (r << 4)), f32x4.mul(t, v128.load(now + cell))));
    v128.store(flow + (r << 4), f32x4.splat(0));
  }
}

/**
 * One axis of it: φ at the faces toward it, and what flows out of each cell.
 *
 * @param faces  per cell: offset of the next cell among the layer's, those of the four faces beside, of the one behind, what
 *   stays of φ and what the gradients of pressure and of ψ add, how much of the flow ahead and behind counts
 */
export function layerAxis(
  count: i32,
  cells: usize,
  faces: usize,
  now: usize,
  psi: usize,
  phi: usize,
  mean: usize,
  spread: usize,
  flow: usize,
  halfStep: f32,
): void {
  const half = f32x4.splat(0.5);
  const t = f32x4.splat(halfStep);
  for (let r: usize = 0; r < <usize>count; r++) {
    const f = faces + 44 * r;
    const next = <usize>load<u32>(f);
    const gradient = f32x4.sub(
      v128.load(now + <usize>load<u32>(cells + (next >> 2))),
      v128.load(now + <usize>load<u32>(cells + (r << 2))),
    );
    const slope = f32x4.sub(f32x4.sub(v128.load(psi + next), v128.load(psi + (r << 4))), f32x4.mul(t, gradient));
    const before = v128.load(phi + (r << 4));
    const after = f32x4.add(
      f32x4.mul(v128.load32_splat(f + 24), before),
      f32x4.add(f32x4.mul(v128.load32_splat(f + 28), gradient), f32x4.mul(v128.load32_splat(f + 32), slope)),
    );
    v128.store(phi + (r << 4), after);
    v128.store(mean + (r << 4), f32x4.mul(half, f32x4.add(before, after)));
  }
  const most = f32x4.splat(<f32>(2.0 / 3.0));
  const least = f32x4.splat(<f32>(1.0 / 12.0));
  for (let r: usize = 0; r < <usize>count; r++) {
    const f = faces + 44 * r;
    const four = f32x4.add(
      f32x4.add(v128.load(mean + <usize>load<u32>(f + 4)), v128.load(mean + <usize>load<u32>(f + 8))),
      f32x4.add(v128.load(mean + <usize>load<u32>(f + 12)), v128.load(mean + <usize>load<u32>(f + 16))),
    );
    v128.store(spread + (r << 4), f32x4.add(f32x4.mul(most, v128.load(mean + (r << 4))), f32x4.mul(least, four)));
  }
  for (let r: usize = 0; r < <usize>count; r++) {
    const f = faces + 44 * r;
    const out = f32x4.mul(v128.load32_splat(f + 36), v128.load(spread + (r << 4)));
    const from = f32x4.mul(v128.load32_splat(f + 40), v128.load(spread + <usize>load<u32>(f + 20)));
    v128.store(flow + (r << 4), f32x4.add(v128.load(flow + (r << 4)), f32x4.sub(out, from)));
  }
}

/**
 * After the pressures were stepped: takes from the next pressure of the layer's cells what it swallows.
 *
 * @param losses  per cell the factors of the former pressure, of the flow, of pressure, of ψ, and of all
 */
export function layerLoss(
  count: i32,
  cells: usize,
  losses: usize,
  now: usize,
  next: usize,
  psi: usize,
  former: usize,
  flow: usize,
): void {
  for (let r: usize = 0; r < <usize>count; r++) {
    const cell = <usize>load<u32>(cells + (r << 2));
    const f = losses + 20 * r;
    const gain = f32x4.add(
      f32x4.add(v128.load(next + cell), f32x4.mul(v128.load32_splat(f), v128.load(former + (r << 4)))),
      f32x4.mul(v128.load32_splat(f + 4), v128.load(flow + (r << 4))),
    );
    const loss = f32x4.add(
      f32x4.mul(v128.load32_splat(f + 8), v128.load(now + cell)),
      f32x4.mul(v128.load32_splat(f + 12), v128.load(psi + (r << 4))),
    );
    v128.store(next + cell, f32x4.mul(f32x4.sub(gain, loss), v128.load32_splat(f + 16)));
  }
}
