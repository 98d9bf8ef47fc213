/**
 * Figures and panels as text for a page: long arrays as base64 of single precision, a third of their length in digits.
 */

/** A typed array in JSON: `f4` is single precision, little-endian. */
export interface Packed {
  readonly dtype: "f4";
  readonly bdata: string;
}

/**
 * Plain data as JSON that may stand inside a script element: it holds no `<`, so nothing in it can end the element.
 *
 * Typed arrays, and rows of more than 32 numbers, become `Packed`; other numbers are rounded to six figures.
 *
 * @param value  plain data with typed arrays
 * @returns JSON
 * @throws RangeError when a number is not finite: it would draw an empty figure
 */
export function pack(value: unknown): string {
  return JSON.stringify(value, (key, inner) => {
    if (inner instanceof Float64Array || inner instanceof Float32Array) return packArray(inner, key);
    if (typeof inner === "number") return rounded(inner, key);
    if (isLongRow(inner)) return packArray(Float64Array.from(inner), key);
    return inner;
  })
    .replace(/</g, "\\u003c")
    .replace(/\u2028/g, "\\u2028")
    .replace(/\u2029/g, "\\u2029");
}

/**
 * What `pack` wrote, read back, with typed arrays as Float64Array.
 *
 * @param text  JSON from `pack`
 */
export function unpack<T>(text: string): T {
  return JSON.parse(text, (_, inner) => (isPacked(inner) ? unpackArray(inner) : inner)) as T;
}

const shortest = 32;

const isLongRow = (inner: unknown): inner is number[] =>
  Array.isArray(inner) && inner.length > shortest && inner.every((x) => typeof x === "number");

function packArray(array: Float64Array | Float32Array, key: string): Packed {
  for (const x of array) if (!Number.isFinite(x)) throw unfit(x, key);
  const bytes = new Uint8Array(new Float32Array(array).buffer);
  let binary = "";
  for (let i = 0; i < bytes.length; i += 8192) {
    binary += String.fromCharCode(...bytes.subarray(i, i + 8192));
  }
  return { dtype: "f4", bdata: btoa(binary) };
}

function unpackArray({ bdata }: Packed): Float64Array {
  const binary = atob(bdata);
  const bytes = Uint8Array.from(binary, (c) => c.charCodeAt(0));
  return new Float64Array(new Float32Array(bytes.buffer));
}

const isPacked = (inner: unknown): inner is Packed =>
  typeof inner === "object" && inner !== null && (inner as Packed).dtype === "f4" && "bdata" in inner;

function rounded(x: number, key: string): number {
  if (!Number.isFinite(x)) throw unfit(x, key);
  return Number.isInteger(x) ? x : Number(x.toPrecision(6));
}

const unfit = (x: number, key: string): RangeError =>
  new RangeError(`a figure's "${key}" holds ${x}: every value drawn must be a finite number`);
