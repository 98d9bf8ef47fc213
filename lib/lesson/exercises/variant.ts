/** @throws RangeError when a variant is no whole number that an exercise or a capstone has */
export function requireVariant(variant: number): void {
  if (!Number.isInteger(variant) || variant < 0 || variant > 1e6) {
    throw new RangeError(`variant is ${String(variant)}, expected a whole number from 0 to 1000000`);
  }
}
