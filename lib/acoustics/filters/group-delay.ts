/** How late a filter makes what is narrow: the slope of its phase. */
import type { Complex, Filter } from "./filter";
import { filterShape } from "./shapes";

/**
 * Group delay, −dφ/dω: how much later a narrow band leaves the filter than it came.
 *
 * Each root −σ + jw₀ turns the phase at the rate σ / (σ² + (w − w₀)²): a pole makes it later, a zero earlier.
 *
 * @param filter  one filter
 * @param frequency  hertz, above 0
 * @returns seconds
 * @throws RangeError when the filter's order, frequency or Q is out of its range
 * @source Oppenheim and Schafer, Discrete-Time Signal Processing (from memory), for analog roots; check: tests/acoustics/filters/group-delay.test.ts
 */
export function groupDelay(filter: Filter, frequency: number): number {
  const { poles, zeros } = filterShape(filter);
  const w = frequency / filter.frequency;
  const rate = ({ re, im }: Complex) => -re / (re * re + (w - im) ** 2);
  const sum = (roots: readonly Complex[]) => roots.reduce((total, root) => total + rate(root), 0);
  return (sum(poles) - sum(zeros)) / (2 * Math.PI * filter.frequency);
}
