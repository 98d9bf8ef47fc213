/**
 * How much of a logarithmic frequency axis each point stands for: the stretch that lies nearer to it than to its neighbours.
 *
 * @param frequency  hertz, ascending
 * @returns natural logarithms of ratios; 1 for a single point
 */
export function logWidths(frequency: Float64Array): Float64Array {
  const last = frequency.length - 1;
  if (last < 1) return new Float64Array(frequency.length).fill(1);
  return frequency.map(
    (_, i) => Math.log(frequency[Math.min(last, i + 1)] / frequency[Math.max(0, i - 1)]) / 2,
  );
}
