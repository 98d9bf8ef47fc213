/**
 * The wave equation on the pieces of air: what each piece's neighbours weigh in its next pressure.
 *
 * Through a face flows the pressure difference across it, two thirds by the face itself and a twelfth by each of the four
 * parallel faces beside it as far as they are open. Where nothing is cut that is the isotropic Laplacian of nineteen points,
 * whose error is alike in all directions (`dispersion.ts` takes it out). The sum is symmetric and flows are balanced, so that
 * nothing is gained or lost but at absorbing walls.
 *
 * @source Kowalczyk and van Walstijn, IEEE Trans. Audio Speech Lang. Process. 19 (2011), 34-46: the isotropic scheme among
 *   the interpolated ones (from memory); on cut cells the split by faces is our own; check: tests/field/waves/equations.test.ts
 */
import { GrowingDoubles, GrowingInts } from "../../numeric/growing";
import type { Cells } from "./cells";
import { strengthsOf } from "./strengths";
import { Patches, type WallAreas } from "./wall-areas";

/** Nothing but numbers, as `Cells` are. */
export interface Equations {
  /** Piece that a piece was joined to; −1 where no sound comes. */
  readonly home: Int32Array;
  /** The next of the pieces that joined the same one, itself first; −1 after the last. */
  readonly nextMember: Int32Array;
  /** Volumes of the pieces after joining, in cubes. */
  readonly volume: Float64Array;
  /** Area of each wall at a piece, in faces of a cube. */
  readonly walls: WallAreas;
  /** Pieces that don't follow the plain stencil, and their rows: Laplacian in units of 1/size². */
  readonly special: Int32Array;
  readonly starts: Int32Array;
  readonly columns: Int32Array;
  readonly weights: Float64Array;
  /** How many pieces carry sound. */
  readonly active: number;
}

/** Pieces smaller than this join another. */
const LEAST = 0.5;

/**
 * @param cells  the venue, cut
 * @param from  pieces where sound begins
 */
export function equationsOf(cells: Cells, from: readonly number[]): Equations {
  const { counts, cut, cube, links } = cells;
  const { face, starts: begin, a: linkA, b: linkB, open: linkOpen } = links;
  const [nx, ny] = counts;
  const steps = [1, nx, nx * ny];
  const cubes = nx * ny * counts[2];

  const neighbours = (piece: number): number => neighboursOf(cells, piece);

  // Where sound comes at all.
  const home = new Int32Array(cells.pieces).fill(-1);
  const stack = new Int32Array(cells.pieces);
  let height = 0;
  let active = 0;
  const reach = (piece: number): void => {
    if (home[piece] >= 0) return;
    home[piece] = piece;
    stack[height++] = piece;
  };
  from.forEach(reach);
  while (height > 0) {
    const count = neighbours(stack[--height]);
    active++;
    for (let n = 0; n < count; n++) reach(near.piece[n]);
  }

  // Small pieces join the neighbour that they are most open to.
  const volume = new Float64Array(cells.pieces);
  const small: number[] = [];
  for (let p = 0; p < cells.pieces; p++) {
    if (home[p] < 0) continue;
    volume[p] = cells.volume[p];
    if (volume[p] < LEAST) small.push(p);
  }
  const top = (p: number): number => {
    let at = p;
    while (home[at] !== at) at = home[at];
    return at;
  };
  for (const p of small.sort((a, b) => cells.volume[a] - cells.volume[b])) {
    const gone = top(p);
    if (volume[gone] >= LEAST) continue;
    let best = -1;
    let most = 0;
    const count = neighbours(p);
    for (let n = 0; n < count; n++) {
      const other = top(near.piece[n]);
      if (other === gone) continue;
      // Between equals the larger neighbour.
      const score = near.open[n] + 1e-3 * volume[other];
      if (score > most) {
        most = score;
        best = other;
      }
    }
    if (best < 0) continue;
    volume[best] += volume[gone];
    volume[gone] = 0;
    home[gone] = best;
  }
  // The pieces that joined each, as a chain.
  const nextMember = new Int32Array(cells.pieces).fill(-1);
  for (let p = cells.pieces - 1; p >= 0; p--) {
    if (home[p] < 0 || home[p] === p) continue;
    home[p] = top(p);
    nextMember[p] = nextMember[home[p]];
    nextMember[home[p]] = p;
  }

  const strength = strengthsOf(cells, home, volume);

  // Pieces whose stencil differs: cut ones, whatever lies beside them, and hosts of joined ones.
  const plain = new Uint8Array(cubes);
  for (let at = 0; at < cubes; at++) plain[at] = !cut[at] && home[at] === at && volume[at] === 1 ? 1 : 0;
  const special = new GrowingInts();
  for (let p = 0; p < cells.pieces; p++)
    if (home[p] === p && !(p < cubes && regular(plain, p, steps))) special.push(p);

  const maybe = special.done();

  // Their rows, face by face.
  /** The link between two pieces in the face of a cube along an axis: its number, −1 where the face is open whole, −2 for none. */
  const linkBetween = (a: number, b: number, at: number, axis: number): number => {
    const f = face[3 * at + axis];
    if (f < 0) return a === at && b === at + steps[axis] ? -1 : -2;
    for (let l = begin[f]; l < begin[f + 1]; l++) if (linkA[l] === a && linkB[l] === b) return l;
    return -2;
  };
  const walls = joined(cells.walls, home);
  const kept = new GrowingInts(maybe.length + 1);
  const starts = new GrowingInts(maybe.length + 1);
  starts.push(0);
  const columns = new GrowingInts(20 * maybe.length);
  const weights = new GrowingDoubles(20 * maybe.length);
  // The row at work: its columns, and the weight of each, 0 for all others.
  const row = new Int32Array(1024);
  let width = 0;
  const sum = new Float64Array(cells.pieces);
  const put = (p: number, w: number): void => {
    const column = home[p];
    if (sum[column] === 0) row[width++] = column;
    sum[column] += w;
  };
  /** Adds `sign` times the flow through a link (−1: the whole face), seen as from a to b, in the face of a cube along an axis. */
  const flow = (link: number, a: number, b: number, at: number, axis: number, sign: number): void => {
    const open = link < 0 ? 1 : linkOpen[link];
    const own = link < 0 ? strength.whole(at, axis) : strength.links[link];
    let left = open;
    for (let t = 1; t <= 2; t++) {
      const beside = axis + t < 3 ? axis + t : axis + t - 3;
      for (let way = 1; way >= -1; way -= 2) {
        const next = at + way * steps[beside];
        if (next < 0 || next + steps[axis] >= cubes) continue;
        const low = way > 0 ? at : next;
        const far = low + steps[axis];
        const f = face[3 * next + axis];
        const last = f < 0 ? 1 : begin[f + 1] - begin[f];
        for (let n = 0; n < last; n++) {
          const l = f < 0 ? -1 : begin[f] + n;
          const oneA = f < 0 ? next : linkA[l];
          const oneB = f < 0 ? next + steps[axis] : linkB[l];
          const near = way > 0 ? linkBetween(a, oneA, low, beside) : linkBetween(oneA, a, low, beside);
          if (near === -2) continue;
          const further = way > 0 ? linkBetween(b, oneB, far, beside) : linkBetween(oneB, b, far, beside);
          if (further === -2) continue;
          let w = open;
          if (l >= 0 && linkOpen[l] < w) w = linkOpen[l];
          if (near >= 0 && linkOpen[near] < w) w = linkOpen[near];
          if (further >= 0 && linkOpen[further] < w) w = linkOpen[further];
          w /= 12;
          if (w <= 0) continue;
          left -= w;
          w *= own * (l < 0 ? strength.whole(next, axis) : strength.links[l]);
          put(oneB, sign * w);
          put(oneA, -sign * w);
        }
      }
    }
    left *= own * own;
    put(b, sign * left);
    put(a, -sign * left);
  };
  for (const p of maybe) {
    for (let piece = p; piece >= 0; piece = nextMember[piece]) {
      const at = cube[piece];
      for (let axis = 0; axis < 3; axis++) {
        const ahead = face[3 * at + axis];
        if (ahead < 0) flow(-1, at, at + steps[axis], at, axis, 1);
        else
          for (let l = begin[ahead]; l < begin[ahead + 1]; l++)
            if (linkA[l] === piece) flow(l, piece, linkB[l], at, axis, 1);
        if (at < steps[axis]) continue;
        const behind = at - steps[axis];
        const f = face[3 * behind + axis];
        if (f < 0) flow(-1, behind, at, behind, axis, -1);
        else
          for (let l = begin[f]; l < begin[f + 1]; l++)
            if (linkB[l] === piece) flow(l, linkA[l], piece, behind, axis, -1);
      }
    }
    const first = columns.length;
    for (let e = 0; e < width; e++) {
      const column = row[e];
      // A column may stand twice where its weight was nought in between.
      if (Math.abs(sum[column]) >= 1e-12) {
        columns.push(column);
        weights.push(sum[column] / volume[p]);
      }
      sum[column] = 0;
    }
    width = 0;
    // Beside whole faces of whole cubes all may be as in plain air after all.
    if (walls.starts[p] === walls.starts[p + 1] && isPlain(p, columns, weights, first, steps)) {
      columns.length = first;
      weights.length = first;
      continue;
    }
    kept.push(p);
    starts.push(columns.length);
  }

  return {
    home,
    nextMember,
    volume,
    walls,
    special: kept.done(),
    starts: starts.done(),
    columns: columns.done(),
    weights: weights.done(),
    active,
  };
}

/** Pieces that lie around one, itself first: those that links lead to within two steps. */
export function piecesAround(cells: Cells, { home, nextMember }: Equations, piece: number): number[] {
  const found = [home[piece]];
  for (let round = 0, done = 0; round < 2; round++) {
    const last = found.length;
    for (; done < last; done++)
      for (let member = found[done]; member >= 0; member = nextMember[member]) {
        const count = neighboursOf(cells, member);
        for (let n = 0; n < count; n++) {
          const other = home[near.piece[n]];
          if (near.open[n] > 0.2 && !found.includes(other)) found.push(other);
        }
      }
  }
  return found;
}

/** The pieces that one is linked to, and how wide, as `neighboursOf` leaves them. */
const near = { piece: new Int32Array(256), open: new Float64Array(256) };

/** How many pieces one is linked to; `near` then holds them. */
function neighboursOf({ counts: [nx, ny], cube, links }: Cells, piece: number): number {
  const { face, starts, a, b, open } = links;
  const at = cube[piece];
  let count = 0;
  for (let axis = 0, step = 1; axis < 3; step *= axis === 0 ? nx : ny, axis++) {
    const ahead = face[3 * at + axis];
    if (ahead < 0) {
      near.piece[count] = at + step;
      near.open[count++] = 1;
    } else
      for (let l = starts[ahead]; l < starts[ahead + 1]; l++)
        if (a[l] === piece) {
          near.piece[count] = b[l];
          near.open[count++] = open[l];
        }
    if (at < step) continue;
    const behind = face[3 * (at - step) + axis];
    if (behind < 0) {
      near.piece[count] = at - step;
      near.open[count++] = 1;
    } else
      for (let l = starts[behind]; l < starts[behind + 1]; l++)
        if (b[l] === piece) {
          near.piece[count] = a[l];
          near.open[count++] = open[l];
        }
  }
  return count;
}

/** Whether a row is that of plain air: nineteen points of which no other can take the place. */
function isPlain(
  p: number,
  columns: GrowingInts,
  weights: GrowingDoubles,
  first: number,
  [x, y, z]: readonly number[],
): boolean {
  if (columns.length - first !== 19) return false;
  for (let e = first; e < columns.length; e++) {
    const off = columns.values[e] - p;
    const k = Math.round(off / z);
    const j = Math.round((off - k * z) / y);
    const i = (off - k * z - j * y) / x;
    const axes = Math.abs(i) + Math.abs(j) + Math.abs(k);
    if (Math.max(Math.abs(i), Math.abs(j), Math.abs(k)) > 1 || axes > 2) return false;
    if (Math.abs(weights.values[e] - PLAIN[axes]) > 1e-9) return false;
  }
  return true;
}

/** Weights of the cube itself, of its faces and of its edges. */
const PLAIN = [-4, 1 / 3, 1 / 6];

/** Whether a cube and the twenty-six around it are plain. */
function regular(plain: Uint8Array, p: number, [x, y, z]: readonly number[]): boolean {
  if (!plain[p]) return false;
  for (let k = p - z; k <= p + z; k += z)
    for (let j = k - y; j <= k + y; j += y) if (!plain[j - x] || !plain[j] || !plain[j + x]) return false;
  return true;
}

/** Walls of pieces as those of the pieces that they joined. */
function joined({ starts, wall, area }: WallAreas, home: Int32Array): WallAreas {
  const patches = new Patches();
  for (let p = 0; p < home.length; p++) {
    if (home[p] < 0) continue;
    for (let e = starts[p]; e < starts[p + 1]; e++) patches.add(home[p], wall[e], area[e]);
  }
  return patches.sorted(home.length);
}
