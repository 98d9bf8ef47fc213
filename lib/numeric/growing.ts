/** Lists of numbers that grow; `values` is longer than the list and makes way for another as it grows. */

export class GrowingInts {
  values: Int32Array;
  length = 0;

  constructor(capacity = 4096) {
    this.values = new Int32Array(capacity);
  }

  push(value: number): void {
    if (this.length === this.values.length) {
      const former = this.values;
      this.values = new Int32Array(2 * this.length);
      this.values.set(former);
    }
    this.values[this.length++] = value;
  }

  done(): Int32Array {
    return this.values.slice(0, this.length);
  }
}

export class GrowingDoubles {
  values: Float64Array;
  length = 0;

  constructor(capacity = 4096) {
    this.values = new Float64Array(capacity);
  }

  push(value: number): void {
    if (this.length === this.values.length) {
      const former = this.values;
      this.values = new Float64Array(2 * this.length);
      this.values.set(former);
    }
    this.values[this.length++] = value;
  }

  done(): Float64Array {
    return this.values.slice(0, this.length);
  }
}
