/**
 * How far positions differ, band by band.
 */
import type { Band } from "../../acoustics/bands/bands";
import type { Response } from "../../acoustics/response";
import { type BandLevelOptions, bandLevels } from "./band-levels";

/** The levels of several positions in one band. */
export interface SpreadInBand {
  readonly band: Band;
  /** Mean of the levels, dB. */
  readonly mean: number;
  /** Standard deviation of the levels, dB, of the sample (n − 1); 0 for one position. */
  readonly deviation: number;
  readonly lowest: number;
  readonly highest: number;
  /** Index of each position that counts. */
  readonly positions: readonly number[];
}

/**
 * Spread of levels across positions per band. A position counts in a band where enough of it has the coherence.
 *
 * @param responses  one per position; each may have its own frequencies
 * @param bands      bands to report; those where no position counts are left out
 * @param options    as for `bandLevels`
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
