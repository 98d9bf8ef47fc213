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
 *
 * A pattern: how many entries and resonances; what walls take at once, less 1, and 1 over 1 plus it; per resonance its filter
 * and strength; per entry how far from the piece another lies, and its weight.
 *
 * Lines: how many of them have three entries, and how many one; per line how far from the piece it lies, its weight there and, of
 * those with three, its weight one piece of the run ahead and behind.
 */
export function atWalls(groups: usize, end: usize, now: usize, old: usize, state: usize, former: usize): void {
  let group = groups;
  while (group < end) {
    const stride = <usize>load<u32>(group);
    const pattern = <usize>load<u32>(group + 4);
    const lines = <usize>load<u32>(group + 8);
    const values = <usize>load<u32>(group + 12);
    const first = group + 20;
    group = first + (<usize>load<u32>(group + 16) << (stride > 0 ? 3 : 2));
    if (stride > 0) alongRuns(first, group, stride, pattern, lines, now, old - now, state + values, former + values);
    else oneByOne(first, group, pattern, now, old - now, state + values, former + values);
  }
}

/** What flows along lines is summed up piece by piece of a run, four at a time, and used three times. */
function alongRuns(
  runs: usize,
  end: usize,
  stride: usize,
  pattern: usize,
  lines: usize,
  now: usize,
  off: usize,
  state: usize,
  former: usize,
): void {
  const resonances = pattern + 16;
  const entries = resonances + (<usize>load<u32>(pattern + 4) << 3);
  const each = (entries - resonances) << 1;
  const threes = lines + 8;
  const ones = threes + 12 * <usize>load<u32>(lines);
  const stop = ones + (<usize>load<u32>(lines + 4) << 3);
  let values: usize = 0;
  for (let r = runs; r < end; r += 8) {
    const first = now + <usize>load<u32>(r);
    const last = first + stride * <usize>load<u32>(r + 4);
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
        a0 = f32x4.add(a0, f32x4.mul(own, value));
        b0 = f32x4.add(b0, f32x4.mul(beside, value));
        value = v128.load(at + stride);
        a1 = f32x4.add(a1, f32x4.mul(own, value));
        b1 = f32x4.add(b1, f32x4.mul(beside, value));
        value = v128.load(at + stride + stride);
        a2 = f32x4.add(a2, f32x4.mul(own, value));
        b2 = f32x4.add(b2, f32x4.mul(beside, value));
        value = v128.load(at + stride + stride + stride);
        a3 = f32x4.add(a3, f32x4.mul(own, value));
        b3 = f32x4.add(b3, f32x4.mul(beside, value));
      }
      for (; line < stop; line += 8) {
        const at = p + <usize>load<u32>(line);
        const own = v128.load32_splat(line + 4);
        a0 = f32x4.add(a0, f32x4.mul(own, v128.load(at)));
        a1 = f32x4.add(a1, f32x4.mul(own, v128.load(at + stride)));
        a2 = f32x4.add(a2, f32x4.mul(own, v128.load(at + stride + stride)));
        a3 = f32x4.add(a3, f32x4.mul(own, v128.load(at + stride + stride + stride)));
      }
      if (p > first) {
        const at = p - stride;
        settle(pattern, resonances, entries, at, at + off, f32x4.add(self, f32x4.add(far, b0)), state + values, former + values);
        values += each;
        if (p < last) {
          settle(pattern, resonances, entries, p, p + off, f32x4.add(a0, f32x4.add(near, b1)), state + values, former + values);
          values += each;
        }
      }
      let at = p + stride;
      if (at < last) {
        settle(pattern, resonances, entries, at, at + off, f32x4.add(a1, f32x4.add(b0, b2)), state + values, former + values);
        values += each;
        at += stride;
        if (at < last) {
          settle(pattern, resonances, entries, at, at + off, f32x4.add(a2, f32x4.add(b1, b3)), state + values, former + values);
          values += each;
        }
      }
      far = b2;
      near = b3;
      self = a3;
    }
  }
}

function oneByOne(
  pieces: usize,
  end: usize,
  pattern: usize,
  now: usize,
  off: usize,
  state: usize,
  former: usize,
): void {
  const resonances = pattern + 16;
  const entries = resonances + (<usize>load<u32>(pattern + 4) << 3);
  const stop = entries + (<usize>load<u32>(pattern) << 3);
  const each = (entries - resonances) << 1;
  let values: usize = 0;
  for (let piece = pieces; piece < end; piece += 4) {
    const here = now + <usize>load<u32>(piece);
    let sum = f32x4.splat(0);
    for (let at = entries; at < stop; at += 8)
      sum = f32x4.add(sum, f32x4.mul(v128.load32_splat(at + 4), v128.load(here + <usize>load<u32>(at))));
    settle(pattern, resonances, entries, here, here + off, sum, state + values, former + values);
    values += each;
  }
}

/** The next pressure of a piece from what flows to it, and the next values of its resonances. */
// @ts-expect-error: decorator
@inline
function settle(
  pattern: usize,
  resonances: usize,
  entries: usize,
  now: usize,
  old: usize,
  flow: v128,
  values: usize,
  others: usize,
): void {
  const before = v128.load(old);
  let sum = f32x4.add(
    f32x4.add(flow, f32x4.mul(f32x4.splat(2), v128.load(now))),
    f32x4.mul(v128.load32_splat(pattern + 8), before),
  );
  let v: usize = 0;
  for (let b = resonances; b < entries; b += 8) {
    const f = <usize>load<u32>(b);
    const from = f32x4.mul(v128.load32_splat(f + 4), v128.load(values + v));
    const late = f32x4.mul(v128.load32_splat(f + 8), v128.load(others + v));
    sum = f32x4.sub(sum, f32x4.mul(v128.load32_splat(b + 4), f32x4.sub(from, late)));
    v += 16;
  }
  const value = f32x4.mul(sum, v128.load32_splat(pattern + 12));
  v128.store(old, value);
  const change = f32x4.sub(value, before);
  v = 0;
  for (let b = resonances; b < entries; b += 8) {
    const f = <usize>load<u32>(b);
    const driven = f32x4.mul(v128.load32_splat(f), change);
    const from = f32x4.mul(v128.load32_splat(f + 4), v128.load(values + v));
    const late = f32x4.mul(v128.load32_splat(f + 12), v128.load(others + v));
    v128.store(others + v, f32x4.sub(f32x4.add(driven, from), late));
    v += 16;
  }
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
