import { normal } from "../../lib/numeric/random";

/** White noise, RMS 1: the same for the same seed. */
export function whiteNoise(length: number, seed: number): Float64Array {
  const next = normal(seed);
  return Float64Array.from({ length }, next);
}
