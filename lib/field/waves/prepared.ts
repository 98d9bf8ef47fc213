/** A grid as the compiled code steps it: spans of plain air, and the pieces at walls with the patterns that they follow. */
import { GrowingInts } from "../../numeric/growing";
import { type Admittance, BRANCHES, branchAt, DAMPING } from "./admittance";
import type { Cells } from "./cells";
import type { Equations } from "./equations";

/** Fields that are stepped at once. */
export const LANES = 4;
/** Bytes of a piece's pressures. */
export const PIECE = 4 * LANES;
/** Factors of a resonance's filter. */
export const FILTER = 3;
/** Numbers before a pattern's resonances, and of each of these. */
const HEAD = 2 + 2 * LANES;
const RESONANCE = 1 + LANES;
/** Pieces that are worth a run: what lies beside its ends is summed up as well, and always four at a time. */
const SHORTEST = 4;
/** Pieces that a run may have. */
export const LONGEST = 250;

export interface Prepared {
  /** Cubes that sound crosses in a step. */
  readonly courant: number;
  /** Spans of plain air, by layer of cubes those of two rows and then those of one: offset of the first cell, how many. */
  readonly spans: Int32Array;
  /** Pieces at walls, by layer of cubes and pattern, as `scripts/assembly/waves.ts` says; all offsets in bytes. */
  readonly groups: Int32Array;
  /** Where the offsets of patterns stand in `groups`. */
  readonly patternAt: Int32Array;
  /** By layer of cubes, where its spans of two rows and of one begin; one more than there are. */
  readonly spansAt: Int32Array;
  /** The same for groups, one a layer. */
  readonly groupsAt: Int32Array;
  /** The layer of cubes of each piece, and how many layers away the furthest pieces that one follows lie. */
  readonly layerOf: Int16Array;
  readonly reach: number;
  /** Integers and floats, as `scripts/assembly/waves.ts` says; a resonance's filter by its number. */
  readonly patterns: Int32Array;
  /** Where in `patterns` a filter's number stands. */
  readonly filterAt: Int32Array;
  /** `FILTER` factors each. */
  readonly filters: Float32Array;
  /** Resonances of all rows. */
  readonly resonances: number;
  /** What walls take at once, by piece and field. */
  readonly loss: Float32Array;
  /** Offset of a piece's first resonance, and the filter of each. */
  resonancesAt(piece: number): { readonly first: number; readonly filters: readonly number[] };
}

/** Hertz: towards the upper end of what waves are used for. */
const UPPER = 125;
/** Squares of the branches' frequencies in those of this, none above it; and how much of the last branch adds 1 there. */
const BRANCH_SQUARES = BRANCHES.map((f) => Math.min(1, (f / UPPER) ** 2));
const LAST = BRANCHES.length - 1;
const FROM_LAST = 1 / branchAt(LAST, UPPER).re;

/**
 * How much more of its admittance a wall needs, in units of the squared phase from cube to cube, so that it takes from a piece's mean
 * pressure what it would take from the pressure at itself.
 *
 * A mode of wave number k, of which kn stands on the wall, is damped by y k pw², on the grid by y sin(ωT)/T p² over the slope of its
 * dispersion, 1 − k²/6. A piece d cubes deep has the mean of cos over its depth, times k over the lattice's own: to second order
 * pw²/p² = 1 + kn² (d²/3 − 1/12). Of sound from all sides kn² is a third of k².
 *
 * @param deep  volume of the piece over its area of the wall, cubes
 */
function atTheWall(deep: number, courant: number): number {
  return (Math.min(DEEPEST, deep) ** 2 - 0.25) / 9 - (1 - courant * courant) / 8;
}
/** Beyond this, a piece has but a corner of the wall. */
const DEEPEST = 2;

export interface PreparedOptions {
  readonly speedOfSound: number;
  /** Seconds. */
  readonly step: number;
  /** Of each wall, as `Equations.walls` numbers them, in each field. */
  readonly admittance: (wall: number, field: number) => Admittance;
}

export function preparedOf(cells: Cells, equations: Equations, options: PreparedOptions): Prepared {
  const { speedOfSound, step, admittance } = options;
  const { special, starts, columns, weights, volume, walls } = equations;
  const [nx, ny, nz] = cells.counts;
  const courant = (speedOfSound * step) / cells.size;
  const filters = filtersOf(step);
  const layerOf = new Int16Array(cells.pieces);
  for (let p = 0; p < cells.pieces; p++) layerOf[p] = Math.floor(cells.cube[p] / (nx * ny));

  // Phase from cube to cube, squared, at the frequency where what is missing at walls is made up exactly.
  const square = ((2 * Math.PI * UPPER * cells.size) / speedOfSound) ** 2;
  let reach = 1;
  const patterns = new Patterns();
  const loss = new Float32Array(LANES * cells.pieces);
  // Of a row, by branch and field, and by field.
  const strengths = new Float64Array(LANES * BRANCHES.length);
  const total = new Float64Array(LANES);
  const known = Array.from({ length: LANES }, (): Admittance[] => []);
  const patternOf = new Int32Array(special.length);
  for (let r = 0; r < special.length; r++) {
    const piece = special[r];
    total.fill(0);
    strengths.fill(0);
    for (let e = walls.starts[piece]; e < walls.starts[piece + 1]; e++) {
      const scale = (courant * walls.area[e]) / (2 * volume[piece]);
      const more = atTheWall(volume[piece] / walls.area[e], courant) * square;
      for (let lane = 0; lane < LANES; lane++) {
        known[lane][walls.wall[e]] ??= admittance(walls.wall[e], lane);
        const own = known[lane][walls.wall[e]];
        total[lane] += scale * own[0];
        for (let b = 1; b < own.length; b++)
          strengths[LANES * (b - 1) + lane] += scale * own[b] * (1 + more * BRANCH_SQUARES[b - 1]);
        strengths[LANES * LAST + lane] += scale * own[0] * more * FROM_LAST;
      }
    }
    patterns.begin();
    for (let b = 0; b < BRANCHES.length; b++) {
      const own = strengths.subarray(LANES * b, LANES * (b + 1));
      for (let lane = 0; lane < LANES; lane++) {
        own[lane] = Math.max(0, own[lane]);
        total[lane] += own[lane] * filters[FILTER * b];
      }
      patterns.resonance(b, own);
    }
    for (let lane = 0; lane < LANES; lane++) {
      loss[LANES * piece + lane] = total[lane];
      patterns.loss(lane, total[lane]);
    }
    for (let e = starts[r]; e < starts[r + 1]; e++) {
      patterns.entry(PIECE * (columns[e] - piece), weights[e] * courant * courant);
      reach = Math.max(reach, Math.abs(layerOf[columns[e]] - layerOf[piece]));
    }
    patternOf[r] = patterns.end();
  }

  // Layer by layer, so that what lies side by side is stepped one soon after the other; within it pattern by pattern.
  const first = patterns.all.length;
  const keys = new Float64Array(special.length);
  for (let r = 0; r < special.length; r++)
    keys[r] = (layerOf[special[r]] * first + patternOf[r]) * special.length + r;
  keys.sort();
  const groups = new GrowingInts(2 * special.length);
  const patternAt = new GrowingInts();
  const groupsAt = new Int32Array(nz + 1);
  const stateAt = new Int32Array(cells.pieces);
  let resonances = 0;
  let layer = 0;
  /** Begins a group, whose runs or pieces follow. */
  const group = (pattern: number, stride: number, count: number): void => {
    groups.push(PIECE * stride);
    patternAt.push(groups.length);
    groups.push(4 * pattern);
    patternAt.push(groups.length);
    groups.push(stride > 0 ? 4 * patterns.lines(pattern, PIECE * stride) : 0);
    groups.push(PIECE * resonances);
    groups.push(count);
  };
  const settled = (piece: number, pattern: number): void => {
    stateAt[piece] = resonances;
    resonances += patterns.all.values[pattern + 1];
  };
  // Pieces of the layer and pattern at work that are still to be put into a group.
  const waiting = new Uint8Array(cells.pieces);
  const pieces: number[] = [];
  for (let n = 0; n < keys.length; n++) {
    const r = keys[n] % special.length;
    const pattern = patternOf[r];
    while (layer < layerOf[special[r]]) groupsAt[++layer] = groups.length;
    pieces.push(special[r]);
    const next = n + 1 < keys.length ? keys[n + 1] % special.length : -1;
    if (next >= 0 && layerOf[special[next]] === layer && patternOf[next] === pattern) continue;
    for (const piece of pieces) waiting[piece] = 1;
    for (const stride of [1, nx]) {
      const runs: number[] = [];
      for (const piece of pieces) {
        let count = 0;
        while (count < LONGEST && waiting[piece + stride * count]) count++;
        if (count < SHORTEST) continue;
        runs.push(piece, count);
        for (let i = 0; i < count; i++) waiting[piece + stride * i] = 0;
      }
      if (runs.length === 0) continue;
      group(pattern, stride, runs.length / 2);
      for (let i = 0; i < runs.length; i += 2) {
        groups.push(PIECE * runs[i]);
        groups.push(runs[i + 1]);
        for (let k = 0; k < runs[i + 1]; k++) settled(runs[i] + stride * k, pattern);
      }
    }
    const single = pieces.filter((piece) => waiting[piece]);
    pieces.length = 0;
    if (single.length === 0) continue;
    group(pattern, 0, single.length);
    for (const piece of single) {
      waiting[piece] = 0;
      groups.push(PIECE * piece);
      settled(piece, pattern);
    }
  }
  while (layer < nz) groupsAt[++layer] = groups.length;
  const all = patterns.all.done();
  return {
    courant,
    ...spansOf(cells, equations),
    groups: groups.done(),
    patternAt: patternAt.done(),
    groupsAt,
    layerOf,
    reach,
    patterns: all,
    filterAt: patterns.filterAt.done(),
    filters,
    resonances,
    loss,
    resonancesAt(piece) {
      const r = special.indexOf(piece);
      if (r < 0) return { first: 0, filters: [] };
      const begin = patternOf[r];
      const own = Array.from({ length: all[begin + 1] }, (_, i) => all[begin + HEAD + RESONANCE * i]);
      return { first: PIECE * stateAt[piece], filters: own };
    },
  };
}

/** Factors of each branch's filter: of what drives it, of its value, of its former value. */
function filtersOf(step: number): Float32Array {
  const filters = new Float32Array(FILTER * BRANCHES.length);
  BRANCHES.forEach((frequency, b) => {
    const w = 2 * Math.PI * frequency * step;
    const damped = (w * DAMPING) / 2;
    const below = 1 + damped + (w * w) / 4;
    const stays = (1 - damped + (w * w) / 4) / below;
    filters.set([damped / below, (2 - (w * w) / 2) / below, stays], FILTER * b);
  });
  return filters;
}

function spansOf(
  { counts, pieces }: Cells,
  { home, special }: Equations,
): { spans: Int32Array; spansAt: Int32Array } {
  const [nx, ny, nz] = counts;
  const isSpecial = new Uint8Array(pieces);
  for (const piece of special) isSpecial[piece] = 1;
  const isPlain = (cube: number): boolean => home[cube] === cube && !isSpecial[cube];
  const spans = new GrowingInts();
  const spansAt = new Int32Array(2 * nz + 1);
  /** Adds spans of a row, which its first cube stands for. The outermost cubes are never plain, so that each ends within its row. */
  const put = (row: number, holds: (cube: number) => boolean): void => {
    let first = -1;
    for (let cube = row; cube < row + nx; cube++) {
      const inside = holds(cube);
      if (inside && first < 0) first = cube;
      if (inside || first < 0) continue;
      spans.push(PIECE * first);
      spans.push(cube - first);
      first = -1;
    }
  };
  for (let k = 0; k < nz; k++) {
    const layer = nx * ny * k;
    for (let j = 0; j + 1 < ny; j += 2) put(layer + nx * j, (cube) => isPlain(cube) && isPlain(cube + nx));
    spansAt[2 * k + 1] = spans.length / 2;
    for (let j = 0; j < ny; j++) {
      const other = j % 2 === 0 ? nx : -nx;
      const has = j % 2 === 1 || j + 1 < ny;
      put(layer + nx * j, (cube) => isPlain(cube) && !(has && isPlain(cube + other)));
    }
    spansAt[2 * k + 2] = spans.length / 2;
  }
  return { spans: spans.done(), spansAt };
}

/** Patterns of rows, each kept once: along a flat wall all rows are alike. */
class Patterns {
  readonly all = new GrowingInts(1 << 16);
  readonly filterAt = new GrowingInts();
  /** The pattern at work: as it will be kept. */
  readonly #ints = new Int32Array(4096);
  readonly #floats = new Float32Array(this.#ints.buffer);
  #length = 0;
  #resonances = 0;
  /** Where patterns begin in `all`, by hash; −1 where none is. */
  #table = new Int32Array(1 << 12).fill(-1);
  /** Where they begin, in order, and their hashes. */
  readonly #begins = new GrowingInts();
  readonly #hashes = new GrowingInts();
  readonly #lines = new Map<string, number>();

  begin(): void {
    this.#length = HEAD;
    this.#resonances = 0;
  }

  /** What walls take at once of a field. */
  loss(lane: number, loss: number): void {
    this.#floats[2 + lane] = loss - 1;
    this.#floats[2 + LANES + lane] = 1 / (1 + loss);
  }

  /** A branch's resonance with its strength in each field, if it has any. */
  resonance(branch: number, strengths: Float64Array): void {
    if (strengths.every((strength) => strength === 0)) return;
    this.#ints[this.#length] = branch;
    this.#floats.set(strengths, this.#length + 1);
    this.#length += RESONANCE;
    this.#resonances++;
  }

  /** In order of offsets, whatever order they come in. */
  entry(offset: number, weight: number): void {
    const ints = this.#ints;
    const first = HEAD + RESONANCE * this.#resonances;
    let at = this.#length;
    for (; at > first && ints[at - 2] > offset; at -= 2) {
      ints[at] = ints[at - 2];
      ints[at + 1] = ints[at - 1];
    }
    ints[at] = offset;
    this.#floats[at + 1] = weight;
    this.#length += 2;
  }

  /** Where the pattern is kept. */
  end(): number {
    const ints = this.#ints;
    const length = this.#length;
    ints[0] = (length - HEAD - RESONANCE * this.#resonances) / 2;
    ints[1] = this.#resonances;
    let hash = 0;
    for (let i = 0; i < length; i++) hash = Math.imul(hash ^ ints[i], 0x9e3779b1) ^ (hash >>> 15);
    let slot = this.#slot(hash);
    for (; this.#table[slot] >= 0; slot = (slot + 1) & (this.#table.length - 1))
      if (this.#same(this.#table[slot])) return this.#table[slot];
    const begin = this.all.length;
    this.#table[slot] = begin;
    this.#begins.push(begin);
    this.#hashes.push(hash);
    for (let r = 0; r < this.#resonances; r++) this.filterAt.push(begin + HEAD + RESONANCE * r);
    for (let i = 0; i < length; i++) this.all.push(ints[i]);
    if (2 * this.#begins.length > this.#table.length) this.#grow();
    return begin;
  }

  /** The same as lines along runs; kept behind the pattern itself. */
  lines(pattern: number, stride: number): number {
    const key = `${pattern} ${stride}`;
    const known = this.#lines.get(key);
    if (known !== undefined) return known;
    const { values } = this.all;
    const weights = new Map<number, number>();
    const begin = pattern + HEAD + RESONANCE * values[pattern + 1];
    for (let e = 0; e < values[pattern]; e++) weights.set(values[begin + 2 * e], values[begin + 2 * e + 1]);
    const threes: number[] = [];
    for (const [offset, own] of weights) {
      const beside = weights.get(offset - stride);
      if (beside === undefined || beside !== weights.get(offset + stride)) continue;
      threes.push(offset, own, beside);
      for (const side of [-1, 0, 1]) weights.delete(offset + side * stride);
    }
    const at = this.all.length;
    for (const value of [threes.length / 3, weights.size, ...threes, ...[...weights].flat()])
      this.all.push(value);
    this.#lines.set(key, at);
    return at;
  }

  #slot(hash: number): number {
    return (hash ^ (hash >>> 16)) & (this.#table.length - 1);
  }

  #same(begin: number): boolean {
    const { values } = this.all;
    for (let i = 0; i < this.#length; i++) if (values[begin + i] !== this.#ints[i]) return false;
    return true;
  }

  #grow(): void {
    this.#table = new Int32Array(2 * this.#table.length).fill(-1);
    for (let i = 0; i < this.#begins.length; i++) {
      let slot = this.#slot(this.#hashes.values[i]);
      while (this.#table[slot] >= 0) slot = (slot + 1) & (this.#table.length - 1);
      this.#table[slot] = this.#begins.values[i];
    }
  }
}
