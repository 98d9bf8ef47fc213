/**
 * One step in time of the wave equation on a grid of cubes (WebAssembly SIMD): see lib/field/waves/run.ts.
 *
 * This file is AssemblyScript; `npm run wasm` compiles it into lib/field/waves/waves.generated.ts. Every pointer is a byte
 * offset into the imported memory. Four fields are stepped at once: the pressure of a piece is four floats, one a field, so
 * that the pieces at walls, each with neighbours of its own, go as quickly as those in plain air.
 */

/** Bytes to the next row and to the next layer of cubes. */
let row: usize = 0;
let layer: usize = 0;
/** Weights of the cell itself, of its six faces, of its twelve edges. */
let own: f32 = 0;
let face: f32 = 0;
let edge: f32 = 0;

/** What stays the same from step to step. */
export function grid(nx: i32, ny: i32, c0: f32, cf: f32, ce: f32): void {
  row = <usize>nx << 4;
  layer = row * <usize>ny;
  own = c0;
  face = cf;
  edge = ce;
}

/** From the sums of six faces and twelve edges: the next pressure, in place of the former. */
// @ts-expect-error: decorator
@inline
function next(former: v128, here: v128, faces: v128, edges: v128, a: v128, b: v128, c: v128): v128 {
  return f32x4.sub(f32x4.add(f32x4.mul(a, here), f32x4.add(f32x4.mul(b, faces), f32x4.mul(c, edges))), former);
}

/**
 * Plain air in spans along x, each the offset of its first cell and how many there are: `old` becomes the next pressure.
 *
 * Two cells at a time, so that the places of neighbouring rows are reckoned half as often.
 */
export function air(spans: usize, end: usize, now: usize, old: usize): void {
  const a = f32x4.splat(own);
  const b = f32x4.splat(face);
  const c = f32x4.splat(edge);
  const off = old - now;
  for (let s = spans; s < end; s += 8) {
    let at = now + <usize>load<u32>(s);
    const stop = at + (<usize>load<u32>(s + 4) << 4);
    // Sums of the four neighbours above, below and on both sides, of the cell before, this one, and the two beyond.
    let before = f32x4.add(
      f32x4.add(v128.load(at - row - 16), v128.load(at + row - 16)),
      f32x4.add(v128.load(at - layer - 16), v128.load(at + layer - 16)),
    );
    let beside = f32x4.add(
      f32x4.add(v128.load(at - row), v128.load(at + row)),
      f32x4.add(v128.load(at - layer), v128.load(at + layer)),
    );
    let last = v128.load(at - 16);
    let here = v128.load(at);
    while (at < stop) {
      const n = at - row;
      const e = at + row;
      const d = at - layer;
      const u = at + layer;
      const dn = d - row;
      const de = d + row;
      const un = u - row;
      const ue = u + row;
      const to = at + off;
      const one = v128.load(at, 16);
      const after = f32x4.add(
        f32x4.add(v128.load(n, 16), v128.load(e, 16)),
        f32x4.add(v128.load(d, 16), v128.load(u, 16)),
      );
      v128.store(
        to,
        next(
          v128.load(to),
          here,
          f32x4.add(f32x4.add(last, one), beside),
          f32x4.add(
            f32x4.add(before, after),
            f32x4.add(f32x4.add(v128.load(dn), v128.load(de)), f32x4.add(v128.load(un), v128.load(ue))),
          ),
          a,
          b,
          c,
        ),
      );
      if (at + 16 >= stop) break;
      const two = v128.load(at, 32);
      const later = f32x4.add(
        f32x4.add(v128.load(n, 32), v128.load(e, 32)),
        f32x4.add(v128.load(d, 32), v128.load(u, 32)),
      );
      v128.store(
        to,
        next(
          v128.load(to, 16),
          one,
          f32x4.add(f32x4.add(here, two), after),
          f32x4.add(
            f32x4.add(beside, later),
            f32x4.add(
              f32x4.add(v128.load(dn, 16), v128.load(de, 16)),
              f32x4.add(v128.load(un, 16), v128.load(ue, 16)),
            ),
          ),
          a,
          b,
          c,
        ),
        16,
      );
      at += 32;
      last = one;
      here = two;
      before = after;
      beside = later;
    }
  }
}

/**
 * Pieces at walls: `old` becomes the next pressure.
 *
 * @param groups  per group its pattern, how many pieces follow it, where their resonances' values begin; then their offsets
 * @param end  where the groups end
 * @param state  per resonance its value, and its former one, which makes way for the next
 *
 * A pattern: how many entries and resonances; what walls take at once, less 1, and 1 over 1 plus it; per resonance its filter
 * and strength; per entry how far from the piece another lies, and its weight.
 */
export function atWalls(groups: usize, end: usize, now: usize, old: usize, state: usize, former: usize): void {
  let group = groups;
  while (group < end) {
    const pattern = <usize>load<u32>(group);
    const resonances = pattern + 16;
    const entries = resonances + (<usize>load<u32>(pattern + 4) << 3);
    const stop = entries + (<usize>load<u32>(pattern) << 3);
    const each = (entries - resonances) << 1;
    let values = <usize>load<u32>(group + 8);
    const last = group + 12 + (<usize>load<u32>(group + 4) << 2);
    group += 12;
    // Four pieces at a time share what is read of the pattern.
    for (; group + 12 < last; group += 16) {
      const p = now + <usize>load<u32>(group);
      const q = now + <usize>load<u32>(group + 4);
      const r = now + <usize>load<u32>(group + 8);
      const s = now + <usize>load<u32>(group + 12);
      let a = f32x4.splat(0);
      let b = a;
      let c = a;
      let d = a;
      for (let at = entries; at < stop; at += 8) {
        const offset = <usize>load<u32>(at);
        const weight = v128.load32_splat(at + 4);
        a = f32x4.add(a, f32x4.mul(weight, v128.load(p + offset)));
        b = f32x4.add(b, f32x4.mul(weight, v128.load(q + offset)));
        c = f32x4.add(c, f32x4.mul(weight, v128.load(r + offset)));
        d = f32x4.add(d, f32x4.mul(weight, v128.load(s + offset)));
      }
      settle(pattern, resonances, entries, p, old - now + p, a, state + values, former + values);
      values += each;
      settle(pattern, resonances, entries, q, old - now + q, b, state + values, former + values);
      values += each;
      settle(pattern, resonances, entries, r, old - now + r, c, state + values, former + values);
      values += each;
      settle(pattern, resonances, entries, s, old - now + s, d, state + values, former + values);
      values += each;
    }
    for (; group < last; group += 4) {
      const here = now + <usize>load<u32>(group);
      let sum = f32x4.splat(0);
      for (let at = entries; at < stop; at += 8)
        sum = f32x4.add(sum, f32x4.mul(v128.load32_splat(at + 4), v128.load(here + <usize>load<u32>(at))));
      settle(pattern, resonances, entries, here, old - now + here, sum, state + values, former + values);
      values += each;
    }
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

/** Weighted sums of pieces, one for each receiver. */
export function hear(count: i32, starts: usize, entries: usize, now: usize, into: usize): void {
  for (let r: usize = 0; r < <usize>count; r++) {
    let sum = f32x4.splat(0);
    const stop = entries + (<usize>load<u32>(starts + (r << 2) + 4) << 3);
    for (let at = entries + (<usize>load<u32>(starts + (r << 2)) << 3); at < stop; at += 8)
      sum = f32x4.add(sum, f32x4.mul(v128.load32_splat(at + 4), v128.load(now + <usize>load<u32>(at))));
    v128.store(into + (r << 4), sum);
  }
}

/** Adds what sources send: entries of the offset of a piece's field, a weight, and the offset of the source's sample. */
export function send(count: i32, entries: usize, samples: usize, into: usize): void {
  const stop = entries + 12 * <usize>count;
  for (let e = entries; e < stop; e += 12) {
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
