// @ts-check
/**
 * As much of tensors as data frames use: one or two dimensions, arithmetic and comparison with broadcasting, sums along an
 * axis. Values stay in double precision, where the package that this stands in for rounds to single.
 */

class Tensor {
  /**
   * @param {readonly any[]} values  row by row
   * @param {readonly number[]} shape  none, one or two sizes
   * @param {string} [dtype]
   */
  constructor(values, shape, dtype = "float32") {
    this.values = values;
    this.shape = shape;
    this.dtype = dtype;
    this.rank = shape.length;
    this.size = values.length;
  }

  clone() {
    return new Tensor([...this.values], this.shape, this.dtype);
  }

  dataSync() {
    return [...this.values];
  }

  async data() {
    return this.dataSync();
  }

  arraySync() {
    if (this.rank === 0) return this.values[0];
    if (this.rank === 1) return [...this.values];
    const [rows, columns] = this.shape;
    return Array.from({ length: rows }, (_, i) => this.values.slice(i * columns, (i + 1) * columns));
  }

  async array() {
    return this.arraySync();
  }

  transpose() {
    if (this.rank < 2) return this.clone();
    const [rows, columns] = this.shape;
    const values = Array.from(
      this.values,
      (_, i) => this.values[(i % rows) * columns + Math.floor(i / rows)],
    );
    return new Tensor(values, [columns, rows], this.dtype);
  }

  sqrt() {
    return new Tensor(this.values.map(Math.sqrt), this.shape);
  }

  /** @param {number} [axis] */
  mean(axis) {
    return along(this, axis, (line) => line.reduce((sum, value) => sum + value, 0) / line.length);
  }

  /** @param {number} [axis] */
  max(axis) {
    return along(this, axis, (line) => line.reduce((most, value) => Math.max(most, value), -Infinity));
  }

  /** @param {number} [axis] */
  min(axis) {
    return along(this, axis, (line) => line.reduce((least, value) => Math.min(least, value), Infinity));
  }

  argMax(axis = 0) {
    return along(this, axis, (line) => line.reduce((best, value, i) => (value > line[best] ? i : best), 0));
  }

  argMin(axis = 0) {
    return along(this, axis, (line) => line.reduce((best, value, i) => (value < line[best] ? i : best), 0));
  }

  print() {
    console.log(this.arraySync());
  }
}

/** @type {Record<string, (a: number, b: number) => number>} */
const operations = {
  add: (a, b) => a + b,
  sub: (a, b) => a - b,
  mul: (a, b) => a * b,
  div: (a, b) => a / b,
  divNoNan: (a, b) => (b === 0 ? 0 : a / b),
  pow: (a, b) => a ** b,
  // the remainder has the divisor's sign
  mod: (a, b) => a - b * Math.floor(a / b),
  greater: (a, b) => Number(a > b),
  less: (a, b) => Number(a < b),
  greaterEqual: (a, b) => Number(a >= b),
  lessEqual: (a, b) => Number(a <= b),
  equal: (a, b) => Number(a === b),
  notEqual: (a, b) => Number(a !== b),
};
for (const [name, operation] of Object.entries(operations))
  Object.defineProperty(Tensor.prototype, name, {
    /** @this {Tensor} @param {Tensor | number} other */
    value(other) {
      return broadcast(this, typeof other === "number" ? scalar(other) : other, operation);
    },
  });

/**
 * @param {Tensor} a
 * @param {Tensor} b
 * @param {(a: number, b: number) => number} operation
 */
function broadcast(a, b, operation) {
  const rank = Math.max(a.rank, b.rank);
  const [rowsA, columnsA] = asMatrix(a);
  const [rowsB, columnsB] = asMatrix(b);
  const rows = common(rowsA, rowsB);
  const columns = common(columnsA, columnsB);
  const values = Array.from({ length: rows * columns }, (_, i) => {
    const row = Math.floor(i / columns);
    const column = i % columns;
    const at = (/** @type {Tensor} */ t, /** @type {number} */ rowsOf, /** @type {number} */ columnsOf) =>
      t.values[(rowsOf === 1 ? 0 : row) * columnsOf + (columnsOf === 1 ? 0 : column)];
    return operation(at(a, rowsA, columnsA), at(b, rowsB, columnsB));
  });
  return new Tensor(values, [rows, columns].slice(2 - rank));
}

/** @param {Tensor} t */
const asMatrix = (t) => [1, 1, ...t.shape].slice(-2);

/**
 * @param {number} a
 * @param {number} b
 */
function common(a, b) {
  if (a !== b && a !== 1 && b !== 1)
    throw new RangeError(`Sizes ${a} and ${b} do not fit together: they must be equal, or one of them 1.`);
  return a === 1 ? b : a;
}

/**
 * @param {Tensor} t
 * @param {number | undefined} axis  all values when left out
 * @param {(line: number[]) => number} reduce
 */
function along(t, axis, reduce) {
  if (axis === undefined || t.rank < 2) return new Tensor([reduce([...t.values])], []);
  const lines = /** @type {number[][]} */ ((axis === 0 ? t.transpose() : t).arraySync());
  return new Tensor(lines.map(reduce), [lines.length]);
}

/** @param {number} value */
const scalar = (value) => new Tensor([value], []);

/**
 * @param {readonly any[]} values
 * @param {string} [dtype]
 */
const tensor1d = (values, dtype) => new Tensor([...values], [values.length], dtype);

/**
 * @param {readonly any[]} values  rows, or all values with their shape
 * @param {readonly number[]} [shape]
 * @param {string} [dtype]
 */
const tensor2d = (values, shape = [values.length, values[0]?.length ?? 0], dtype = "float32") =>
  new Tensor(values.flat(), shape, dtype);

/**
 * @param {Tensor} t
 * @param {number} axis
 */
function moments(t, axis) {
  const mean = t.mean(axis);
  const away = broadcast(t, mean, (value, middle) => (value - middle) ** 2);
  return { mean, variance: away.mean(axis) };
}

/** Rows drawn at random: the same seed draws the same. */
const data = {
  /** @param {readonly any[]} items */
  array: (items) => ({
    /**
     * @param {number} _buffer
     * @param {string} seed
     */
    shuffle: (_buffer, seed) => {
      const drawn = [...items];
      const random = randomOf(seed);
      for (let i = drawn.length - 1; i > 0; i--) {
        const j = Math.floor(random() * (i + 1));
        [drawn[i], drawn[j]] = [drawn[j], drawn[i]];
      }
      return {
        /** @param {number} count */
        take: (count) => ({ toArray: async () => drawn.slice(0, count) }),
      };
    },
  }),
};

/**
 * A linear congruential generator modulo 2³², which is enough to draw rows (constants: Numerical Recipes, 3rd ed., 7.1, from memory).
 *
 * @param {string} seed
 */
function randomOf(seed) {
  let state = [...seed].reduce((sum, letter) => (Math.imul(sum, 31) + letter.charCodeAt(0)) >>> 0, 1);
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

module.exports = { Tensor, scalar, tensor1d, tensor2d, moments, data };
