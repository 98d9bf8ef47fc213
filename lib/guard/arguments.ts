/**
 * Checks of arguments: each names the quantity, the value found and what was expected, in one sentence.
 */

/** Throws a RangeError unless the value is a finite number above zero. */
export function requirePositive(name: string, value: number): void {
  if (!(value > 0 && value < Infinity)) {
    throw new RangeError(`${name} is ${value}, expected a number above 0`);
  }
}

/** Throws a RangeError unless the value lies within the limits, both included. */
export function requireWithin(name: string, value: number, low: number, high: number): void {
  if (!(value >= low && value <= high)) {
    throw new RangeError(`${name} is ${value}, expected ${low} to ${high}`);
  }
}

/** Throws a RangeError unless the value is one of the integers from low to high. */
export function requireInteger(name: string, value: number, low: number, high: number): void {
  if (!Number.isInteger(value) || value < low || value > high) {
    throw new RangeError(`${name} is ${value}, expected a whole number from ${low} to ${high}`);
  }
}

/** Throws a RangeError unless both hold the same number of values, at least one. */
export function requireSameLength(
  nameA: string,
  a: { readonly length: number },
  nameB: string,
  b: { readonly length: number },
): void {
  if (a.length !== b.length || a.length === 0) {
    throw new RangeError(
      `${nameA} holds ${a.length} values and ${nameB} ${b.length}, expected as many, at least one`,
    );
  }
}
