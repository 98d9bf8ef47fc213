/**
 * How far positions differ, band by band.
 */
import type { Band } from "../../acoustics/bands/bands";
import type { Response } from "../../acoustics/response";
import { type BandLevelOptions, bandLevels } from "./band-levels";

/** The levels of several positions in one band. */
export interface SpreadInBand {
  /** The band, its frequencies in hertz. */
  readonly band: Band;
  /** Mean of the levels, dB re 1 of the responses' unit. */
  readonly mean: number;
  /** Standard deviation of the levels, dB, of the sample (n − 1); 0 for one position. */
  readonly deviation: number;
  /** Lowest of the levels, dB. */
  readonly lowest: number;
  /** Highest of the levels, dB. */
  readonly highest: number;
  /** Index of each position that counts, from 0. */
  readonly positions: readonly number[];
}

/**
 * Spread of levels across positions per band. A position counts in a band where enough of it has the coherence.
 *
 * @param responses  one per position; each may have its own frequencies
 * @param bands  bands to report, such as `acoustics.bands.thirdOctaves` gives; those where no position counts are left out
 * @param options  least coherence and least usable fraction of a band, 0…1
 * @returns one entry per band, in order: mean, standard deviation, lowest and highest level, dB
 * @throws RangeError when the least coherence isn't within 0…1
 * @source mean and standard deviation of a sample; check: tests/measurement/transfer/band-levels.test.ts, against numpy
 * @example
 * const frequency = acoustics.bands.grid(40, 160, 25);
 * const flat = (gain: number) => acoustics.filters.response({ kind: "gain", gain }, frequency);
 * const traces = [0, -6].map((gain) => ({ frequency, ...flat(gain) }));
 * measure.spreadPerBand(traces, acoustics.bands.thirdOctaves(63, 80))[0].deviation // 4.24
 */
export function spreadPerBand(
  responses: readonly Response[],
  bands: readonly Band[],
  options: BandLevelOptions = {},
): SpreadInBand[] {
  const levels = responses.map(
    (response) => new Map(bandLevels(response, bands, options).map((entry) => [entry.band, entry])),
  );
  return bands.flatMap((band) => {
    const positions = levels.flatMap((entries, r) => {
      const entry = entries.get(band);
      return entry?.usable && Number.isFinite(entry.level) ? [r] : [];
    });
    if (positions.length === 0) return [];
    const values = positions.map((r) => levels[r].get(band)!.level);
    const mean = values.reduce((a, b) => a + b, 0) / values.length;
    const squares = values.reduce((sum, x) => sum + (x - mean) ** 2, 0);
    return [
      {
        band,
        mean,
        deviation: values.length > 1 ? Math.sqrt(squares / (values.length - 1)) : 0,
        lowest: Math.min(...values),
        highest: Math.max(...values),
        positions,
      },
    ];
  });
}
