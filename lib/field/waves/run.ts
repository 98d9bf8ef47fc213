/** Sound on the grid, step by step. */
import { compiled } from "../../numeric/compiled";
import { BRANCHES } from "./admittance";
import type { Cells } from "./cells";
import type { Equations } from "./equations";
import { FACTORS, type Layer } from "./layer";
import { FILTER, LANES, LONGEST, PIECE, type Prepared, type PreparedOptions, preparedOf } from "./prepared";
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
  const results: Float32Array[] = [];
  for (let first = 0; first < fields.length; first += LANES) {
    const some = fields.slice(first, first + LANES);
    const prepared = preparedOf(cells, equations, {
      ...conditions,
      admittance: (wall, lane) => conditions.admittance(wall, first + Math.min(lane, some.length - 1)),
    });
    results.push(
      ...four(cells, equations, conditions, prepared, some, (done) =>
        conditions.progress?.((first + done * some.length) / fields.length),
      ),
    );
  }
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
  return pressures + atWalls + swallowing + (12 + PIECE * TOGETHER) * heard;
}

/** Steps that are done together. */
const TOGETHER = 8;

/**
 * Up to four fields.
 *
 * Some steps go through the layers of cubes together, each as many layers behind the former as the walls' pieces reach: so what
 * one step has written is still in the processor's cache when the next needs it.
 */
function four(
  cells: Cells,
  equations: Equations,
  { step, steps, every, receivers, layer }: Conditions,
  prepared: Prepared,
  fields: readonly (readonly Sender[])[],
  progress: Progress,
): Float32Array[] {
  const { courant, spansAt, groupsAt, layerOf, reach, loss, resonances } = prepared;
  const [nx, ny, nz] = cells.counts;
  // Runs at walls read up to three pieces too far.
  const size = LANES * (cells.pieces + 8 + 3 * nx);
  const sources = fields.flatMap((own, lane) => own.map((s) => ({ ...s, lane })));
  const lasting = sources.reduce((most, s) => Math.max(most, s.samples.length), 0);
  const ears = new Entries(nz);
  receivers.forEach((spot, r) => {
    spot.pieces.forEach((p, i) => {
      ears.add(layerOf[p], PIECE * p, spot.weights[i], PIECE * r);
    });
  });
  // A source of 1 gives 1/r in free air: 4π c² δ, on a piece of this volume. Resonances of walls there feel it as well.
  const strength = (4 * Math.PI * courant * courant) / cells.size;
  const toPieces = new Entries(nz);
  const toResonances = new Entries(nz);
  sources.forEach(({ spot, lane }, s) => {
    spot.pieces.forEach((p, i) => {
      const change = (strength * spot.weights[i]) / equations.volume[p] / (1 + loss[LANES * p + lane]);
      toPieces.add(layerOf[p], PIECE * p + 4 * lane, change, 4 * s);
      const { first, filters: own } = prepared.resonancesAt(p);
      own.forEach((filter, b) => {
        toResonances.add(
          layerOf[p],
          first + PIECE * b + 4 * lane,
          change * prepared.filters[FILTER * filter],
          4 * s,
        );
      });
    });
  });
  const swallowing = layer ? layer.cells.length + 1 : 0;
  const together = layer ? 1 : TOGETHER;
  const floats =
    2 * size +
    prepared.spans.length +
    prepared.groups.length +
    prepared.patterns.length +
    prepared.filters.length +
    2 * LANES * resonances +
    LANES * (LONGEST + 6) +
    ears.size +
    toPieces.size +
    toResonances.size +
    together * LANES * receivers.length +
    lasting * sources.length +
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
    const two = (count: number) => [array(count).byteOffset, array(count).byteOffset];
    const pressures = two(size);
    const { buffer } = array(4);
    const spans = put(prepared.spans);
    const groups = put(prepared.groups);
    const patterns = put(prepared.patterns);
    const filters = put(prepared.filters);
    const groupInts = new Int32Array(buffer, groups, prepared.groups.length);
    for (const at of prepared.patternAt) groupInts[at] += patterns;
    const patternInts = new Int32Array(buffer, patterns, prepared.patterns.length);
    for (const at of prepared.filterAt) patternInts[at] = filters + 4 * FILTER * patternInts[at];
    const states = two(LANES * resonances);
    const flows = array(LANES * (LONGEST + 6)).byteOffset;
    const [heardAt, sentAt, stirredAt] = [ears, toPieces, toResonances].map((entries) => {
      const { starts, data } = entries.done();
      const at = put(data);
      return starts.map((start) => at + start);
    });
    const into = Array.from({ length: together }, () => array(LANES * receivers.length));
    const samples = array(lasting * sources.length);
    sources.forEach(({ samples: own }, s) => {
      own.forEach((sample, n) => {
        samples[sources.length * n + s] = sample;
      });
    });
    const swallow = layer && layerIn(layer, code, put, array, step);

    const edge = Math.fround((courant * courant) / 6);
    code.grid(nx, ny, edge, (2 - 4 * courant * courant) / edge - 4);
    const results = fields.map(() => new Float32Array(Math.ceil(steps / every) * receivers.length));
    /** What receivers hear of step n and of what comes next in a layer of cubes. */
    const stepLayer = (n: number, k: number): void => {
      const [now, old] = [pressures[n & 1], pressures[1 - (n & 1)]];
      code.air(
        spans + 8 * spansAt[2 * k],
        spans + 8 * spansAt[2 * k + 1],
        spans + 8 * spansAt[2 * k + 2],
        now,
        old,
      );
      code.atWalls(
        groups + 4 * groupsAt[k],
        groups + 4 * groupsAt[k + 1],
        now,
        old,
        states[n & 1],
        states[1 - (n & 1)],
        flows,
      );
      if (n % every > 0) return;
      const ear = into[(n / every) % together];
      if (k === 0) ear.fill(0);
      code.hear(heardAt[k], heardAt[k + 1], now, ear.byteOffset);
      if (k < nz - 1) return;
      const first = (n / every) * receivers.length;
      results.forEach((result, lane) => {
        for (let r = 0; r < receivers.length; r++) result[first + r] = ear[LANES * r + lane];
      });
    };
    const sendLayer = (n: number, k: number): void => {
      if (n >= lasting) return;
      const from = samples.byteOffset + 4 * sources.length * n;
      code.send(sentAt[k], sentAt[k + 1], from, pressures[1 - (n & 1)]);
      code.send(stirredAt[k], stirredAt[k + 1], from, states[1 - (n & 1)]);
    };
    let told = 0;
    for (let n = 0; n < steps; n += together) {
      if (swallow) {
        const [now, old] = [pressures[n & 1], pressures[1 - (n & 1)]];
        swallow.before(now, old);
        for (let k = 0; k < nz; k++) stepLayer(n, k);
        swallow.after(now, old);
        for (let k = 0; k < nz; k++) sendLayer(n, k);
      } else {
        const count = Math.min(together, steps - n);
        for (let front = 0; front < nz + reach * (count - 1); front++)
          for (let t = 0, k = front; t < count && k >= 0; t++, k -= reach) {
            if (k >= nz) continue;
            stepLayer(n + t, k);
            sendLayer(n + t, k);
          }
      }
      const done = Math.min(steps, n + together);
      if (done - told < 32) continue;
      told = done;
      if (progress(done / steps) === false) throw new Error("the run was ended");
    }
    return results;
  } finally {
    scratch.release();
  }
}

/** Weighted entries by layer of cubes, as the compiled code reads them. */
class Entries {
  readonly #layers: number[][];
  size = 0;

  constructor(layers: number) {
    this.#layers = Array.from({ length: layers }, () => []);
  }

  add(layer: number, at: number, weight: number, other: number): void {
    this.#layers[layer].push(at, weight, other);
    this.size += 3;
  }

  /** The entries, and where those of each layer begin, bytes; one more than there are layers. */
  done(): { starts: number[]; data: ArrayBuffer } {
    const data = new ArrayBuffer(4 * this.size);
    const [ints, floats] = [new Int32Array(data), new Float32Array(data)];
    let next = 0;
    const starts = this.#layers.map((values) => {
      const start = 4 * next;
      for (let e = 0; e < values.length; e += 3, next += 3) {
        ints[next] = values[e];
        floats[next + 1] = values[e + 1];
        ints[next + 2] = values[e + 2];
      }
      return start;
    });
    return { starts: [...starts, 4 * next], data };
  }
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
