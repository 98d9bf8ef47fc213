/** Sound on the grid, step by step. */
import { compiled } from "../../numeric/compiled";
import { BRANCHES } from "./admittance";
import type { Cells } from "./cells";
import type { Equations } from "./equations";
import { FACTORS, type Layer } from "./layer";
import { LANES, PIECE, type Prepared, type PreparedOptions, preparedOf } from "./prepared";
import { wavesWasm } from "./waves.generated";

type Code = Record<
  "grid" | "air" | "atWalls" | "hear" | "send" | "layerPressure" | "layerAxis" | "layerLoss",
  (...args: number[]) => void
>;
const scratchOf = compiled<Code>(wavesWasm);

/** Weighted pieces that stand for a place. */
export interface Spot {
  readonly pieces: readonly number[];
  readonly weights: readonly number[];
}

/** A place where sound begins, and what it sends at each step. */
export interface Sender {
  readonly spot: Spot;
  readonly samples: Float32Array;
}

/** Called now and then with the share that is done; `false` ends the run. */
export type Progress = (done: number) => unknown;

export interface Conditions extends PreparedOptions {
  readonly steps: number;
  /** Every so many steps are heard. */
  readonly every: number;
  readonly receivers: readonly Spot[];
  /** Swallows sound around open air. */
  readonly layer?: Layer;
  readonly progress?: Progress;
}

export interface FieldsOptions extends Conditions {
  /** Sources that sound together, field by field. */
  readonly fields: readonly (readonly Sender[])[];
}

/**
 * What receivers hear of each field: receiver by receiver within each heard step. Four fields take hardly longer than one.
 *
 * @throws Error when there is no WebAssembly SIMD, or `progress` ended the run
 */
export function runFields(
  cells: Cells,
  equations: Equations,
  { fields, ...conditions }: FieldsOptions,
): Float32Array[] {
  const prepared = preparedOf(cells, equations, conditions);
  const results: Float32Array[] = [];
  for (let first = 0; first < fields.length; first += LANES)
    results.push(
      ...four(cells, equations, conditions, prepared, fields.slice(first, first + LANES), (done) =>
        conditions.progress?.((first + done * Math.min(LANES, fields.length - first)) / fields.length),
      ),
    );
  return results;
}

/**
 * About how many bytes a run takes beside its results, told before it begins.
 *
 * @param heard  pieces of all receivers together
 */
export function runBytes(cells: Cells, equations: Equations, heard: number, layer?: Layer): number {
  const { special, columns, walls } = equations;
  const pressures = 2 * PIECE * (cells.pieces + 8);
  // Twice: as it is made, and where the compiled code reads it.
  const atWalls =
    2 * (8 * special.length + 8 * columns.length) + 2 * PIECE * BRANCHES.length * walls.wall.length;
  const swallowing = (layer?.cells.length ?? 0) * (8 * PIECE + 2 * (4 + 3 * FACE + 20));
  return pressures + atWalls + swallowing + 16 * heard;
}

/** Up to four fields. */
function four(
  cells: Cells,
  equations: Equations,
  { step, steps, every, receivers, layer }: Conditions,
  prepared: Prepared,
  fields: readonly (readonly Sender[])[],
  progress: Progress,
): Float32Array[] {
  const { courant, spansAt, groupsAt, loss, resonances } = prepared;
  const [nx, ny, nz] = cells.counts;
  const size = LANES * (cells.pieces + 8);
  const heard = spotEntries(receivers);
  const sources = fields.flatMap((own, lane) => own.map((s) => ({ ...s, lane })));
  const swallowing = layer ? layer.cells.length + 1 : 0;
  const sent = sources.reduce((sum, s) => sum + s.spot.pieces.length, 0);
  const floats =
    2 * size +
    prepared.spans.length +
    prepared.groups.length +
    prepared.patterns.length +
    prepared.filters.length +
    2 * LANES * resonances +
    heard.starts.length +
    heard.entries.byteLength / 4 +
    LANES * receivers.length +
    3 * sent * (1 + BRANCHES.length) +
    sources.length +
    swallowing * (8 * LANES + 1 + (3 * FACE) / 4 + 5);
  const scratch = scratchOf(Math.ceil(floats / 2) + 64, 40);
  if (!scratch) throw new Error("WebAssembly SIMD is missing");
  try {
    const { code } = scratch;
    const array = (count: number): Float32Array => scratch.floats(Math.max(4, count));
    const put = (data: ArrayBuffer | Int32Array | Float32Array): number => {
      const bytes =
        data instanceof ArrayBuffer
          ? new Uint8Array(data)
          : new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
      const { buffer, byteOffset } = array(bytes.length / 4);
      new Uint8Array(buffer, byteOffset, bytes.length).set(bytes);
      return byteOffset;
    };
    let now = array(size).byteOffset;
    let old = array(size).byteOffset;
    const { buffer } = array(4);
    const spans = put(prepared.spans);
    const groups = put(prepared.groups);
    const patterns = put(prepared.patterns);
    const filters = put(prepared.filters);
    const groupInts = new Int32Array(buffer, groups, prepared.groups.length);
    for (const at of prepared.patternAt) groupInts[at] += patterns;
    const patternInts = new Int32Array(buffer, patterns, prepared.patterns.length);
    for (const at of prepared.filterAt) patternInts[at] = filters + 16 * patternInts[at];
    let state = array(LANES * resonances).byteOffset;
    let former = array(LANES * resonances).byteOffset;
    const earStarts = put(heard.starts);
    const ears = put(heard.entries);
    const into = array(LANES * receivers.length);

    // A source of 1 gives 1/r in free air: 4π c² δ, on a piece of this volume. Resonances of walls there feel it as well.
    const strength = (4 * Math.PI * courant * courant) / cells.size;
    const toPieces: number[] = [];
    const toResonances: number[] = [];
    sources.forEach(({ spot, lane }, s) => {
      spot.pieces.forEach((p, i) => {
        const change = (strength * spot.weights[i]) / equations.volume[p] / (1 + loss[p]);
        toPieces.push(PIECE * p + 4 * lane, change, 4 * s);
        const { first, filters: own } = prepared.resonancesAt(p);
        own.forEach((filter, b) => {
          toResonances.push(first + PIECE * b + 4 * lane, change * prepared.filters[4 * filter], 4 * s);
        });
      });
    });
    const [pieceSends, resonanceSends] = [toPieces, toResonances].map((list) => {
      const data = new ArrayBuffer(4 * list.length);
      new Int32Array(data).set(list);
      const weights = new Float32Array(data);
      for (let e = 1; e < list.length; e += 3) weights[e] = list[e];
      return { at: put(data), count: list.length / 3 };
    });
    const samples = array(sources.length);
    const lasting = sources.reduce((most, s) => Math.max(most, s.samples.length), 0);
    const swallow = layer && layerIn(layer, code, put, array, step);

    code.grid(nx, ny, 2 - 4 * courant * courant, (courant * courant) / 3, (courant * courant) / 6);
    const results = fields.map(() => new Float32Array(Math.ceil(steps / every) * receivers.length));
    for (let n = 0; n < steps; n++) {
      swallow?.before(now, old);
      for (let k = 0; k < nz; k++) {
        code.air(spans + 8 * spansAt[k], spans + 8 * spansAt[k + 1], now, old);
        code.atWalls(groups + 4 * groupsAt[k], groups + 4 * groupsAt[k + 1], now, old, state, former);
      }
      swallow?.after(now, old);
      if (n < lasting) {
        for (let s = 0; s < sources.length; s++) samples[s] = sources[s].samples[n] ?? 0;
        code.send(pieceSends.count, pieceSends.at, samples.byteOffset, old);
        code.send(resonanceSends.count, resonanceSends.at, samples.byteOffset, former);
      }
      if (n % every === 0) {
        code.hear(receivers.length, earStarts, ears, now, into.byteOffset);
        const first = (n / every) * receivers.length;
        results.forEach((result, lane) => {
          for (let r = 0; r < receivers.length; r++) result[first + r] = into[LANES * r + lane];
        });
      }
      [now, old] = [old, now];
      [state, former] = [former, state];
      if (n % 32 === 31 && progress((n + 1) / steps) === false) throw new Error("the run was ended");
    }
    return results;
  } finally {
    scratch.release();
  }
}

/** Where each spot's entries begin, and these: offset of a piece, weight. */
function spotEntries(spots: readonly Spot[]): { starts: Int32Array; entries: ArrayBuffer } {
  const starts = new Int32Array(spots.length + 1);
  spots.forEach((spot, s) => {
    starts[s + 1] = starts[s] + spot.pieces.length;
  });
  const entries = new ArrayBuffer(8 * starts[spots.length]);
  const [ints, floats] = [new Int32Array(entries), new Float32Array(entries)];
  spots.forEach((spot, s) => {
    spot.pieces.forEach((piece, i) => {
      ints[2 * (starts[s] + i)] = PIECE * piece;
      floats[2 * (starts[s] + i) + 1] = spot.weights[i];
    });
  });
  return { starts, entries };
}

/** Bytes of a face of the layer: six places and its factors. */
const FACE = 4 * (6 + FACTORS);

/** The layer in the compiled code's memory. */
function layerIn(
  { cells, next, beside, behind, faces, losses }: Layer,
  code: Code,
  put: (data: ArrayBuffer | Int32Array | Float32Array) => number,
  array: (count: number) => Float32Array,
  step: number,
) {
  const count = cells.length;
  const at = put(cells.map((cell) => PIECE * cell));
  const data = next.map((ahead, axis) => {
    const values = new ArrayBuffer(FACE * count);
    const [ints, floats] = [new Int32Array(values), new Float32Array(values)];
    for (let r = 0; r < count; r++) {
      const f = (FACE / 4) * r;
      ints[f] = PIECE * ahead[r];
      for (let n = 0; n < 4; n++) ints[f + 1 + n] = PIECE * beside[axis][4 * r + n];
      ints[f + 5] = PIECE * behind[axis][r];
      for (let n = 0; n < FACTORS; n++) floats[f + 6 + n] = faces[axis][FACTORS * r + n];
    }
    return put(values);
  });
  const loss = put(losses);
  const fours = (): number => array(LANES * (count + 1)).byteOffset;
  const phi = [fours(), fours(), fours()];
  const [psi, mean, spread, flow, former] = [fours(), fours(), fours(), fours(), fours()];
  return {
    before(now: number, old: number): void {
      code.layerPressure(count, at, now, old, psi, former, flow, step);
      for (let axis = 0; axis < 3; axis++)
        code.layerAxis(count, at, data[axis], now, psi, phi[axis], mean, spread, flow, step / 2);
    },
    after(now: number, next: number): void {
      code.layerLoss(count, at, loss, now, next, psi, former, flow);
    },
  };
}
