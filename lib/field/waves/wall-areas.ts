/** Areas of walls by piece, in faces of a cube. */
import { GrowingDoubles, GrowingInts } from "../../numeric/growing";

export interface WallAreas {
  /** Where each piece's walls begin, one more than there are pieces. */
  readonly starts: Int32Array;
  readonly wall: Int32Array;
  readonly area: Float64Array;
}

/** Areas as they are come across, of any piece and wall. */
export class Patches {
  readonly #piece = new GrowingInts();
  readonly #wall = new GrowingInts();
  readonly #area = new GrowingDoubles();

  add(piece: number, wall: number, area: number): void {
    this.#piece.push(piece);
    this.#wall.push(wall);
    this.#area.push(area);
  }

  /** By piece; areas of one wall at one piece are added up. */
  sorted(pieces: number): WallAreas {
    const total = this.#piece.length;
    const [piece, wall, area] = [this.#piece.values, this.#wall.values, this.#area.values];
    const begin = new Int32Array(pieces + 1);
    for (let e = 0; e < total; e++) begin[piece[e] + 1]++;
    for (let p = 0; p < pieces; p++) begin[p + 1] += begin[p];
    const next = begin.slice();
    const order = new Int32Array(total);
    for (let e = 0; e < total; e++) order[next[piece[e]]++] = e;
    const starts = new Int32Array(pieces + 1);
    const walls = new Int32Array(total);
    const areas = new Float64Array(total);
    let count = 0;
    for (let p = 0; p < pieces; p++) {
      const first = count;
      for (let o = begin[p]; o < begin[p + 1]; o++) {
        const e = order[o];
        let at = first;
        while (at < count && walls[at] !== wall[e]) at++;
        if (at === count) walls[count++] = wall[e];
        areas[at] += area[e];
      }
      starts[p + 1] = count;
    }
    return { starts, wall: walls.slice(0, count), area: areas.slice(0, count) };
  }
}
