import type { Verification, VerifiedBand } from "../../study/verification/result";
import { inDecibels } from "../../text/decibels";
import { deviationAxis, frequencyAxis } from "./parts/axes";
import type { Figure, FigureTrace } from "./parts/figure";
import { plotText } from "./parts/plot-text";

/**
 * What was recorded with the setting entered, less what was predicted, at each position.
 *
 * Across: frequency (Hz, logarithmic). Up: level recorded less level predicted, of third-octave bands (dB); a bar reaches as far as the errors of
 * both measurements. Look for points whose bar doesn't reach 0, and whether they stand alone or at all positions alike.
 *
 * @param verification  from `studies.verify`
 * @returns a figure, for `show`
 * @throws RangeError when nothing can be said at any position
 * @source frequency axis at the nominal mid-band frequencies of IEC 61260-1; else own way, no outside source; check:
 *   tests/lesson/figures/verification.test.ts
 * @example
 * const verified = (folder: string) => studies.verify(studies.run(read.show(folder)));
 * const drawn = (folder: string) => draw.verification(verified(folder)!);
 */
export function verificationFigure(verification: Pick<Verification, "positions">): Figure {
  const told = verification.positions.filter(({ thirds }) => thirds.length > 0);
  if (told.length === 0)
    throw new RangeError("nothing can be said at any position: there is nothing to draw");
  const farthest = Math.max(
    ...told.flatMap(({ thirds }) => thirds.map((b) => Math.abs(departure(b)) + b.interval_db)),
  );
  const limit = Math.min(18, Math.max(6, 3 * Math.ceil(farthest / 3)));
  return {
    title:
      "Recorded less predicted, with the setting entered: in each band the positions side by side, in their order",
    alt: told.map(inWords).join(" "),
    height: 380,
    data: [
      zero,
      ...told.flatMap(({ position, thirds }, i) => points(position, thirds, i, told.length, limit)),
    ],
    layout: {
      xaxis: frequencyAxis(25, 2500),
      yaxis: deviationAxis("Recorded less predicted (dB)", limit),
      margin: { r: 16 },
    },
  };
}

const departure = ({ recorded_db, predicted_db }: VerifiedBand): number => recorded_db - predicted_db;

const zero: FigureTrace = {
  type: "scatter",
  mode: "lines",
  x: [25, 2500],
  y: [0, 0],
  line: { color: "@faint", width: 1.5 },
  hoverinfo: "skip",
};

/** Beside those of the other positions, so that bars don't cover each other: those within their interval hollow. */
function points(
  position: string,
  thirds: readonly VerifiedBand[],
  index: number,
  count: number,
  limit: number,
): FigureTrace[] {
  const aside = 10 ** (0.07 * ((index + 0.5) / count - 0.5));
  return [true, false].flatMap((isReached) => {
    const some = thirds.filter(({ reached }) => reached === isReached);
    if (some.length === 0) return [];
    return [
      {
        type: "scatter",
        mode: "markers",
        cliponaxis: false,
        x: some.map(({ frequency_hz }) => frequency_hz * aside),
        y: some.map((band) => Math.max(-limit, Math.min(limit, departure(band)))),
        error_y: {
          type: "data",
          array: some.map(({ interval_db }) => interval_db),
          color: isReached ? "@faint" : "@mark",
          thickness: 1,
          width: 0,
        },
        marker: isReached
          ? { color: "@faint", size: 6, symbol: "circle" }
          : { color: "@mark", size: 9, symbol: "diamond" },
        hovertemplate: some.map(
          (band) =>
            `${plotText(position)}, ${band.frequency_hz} Hz: ${departure(band).toFixed(1)} dB, interval ±${band.interval_db.toFixed(1)} dB<extra></extra>`,
        ),
      },
    ];
  });
}

function inWords({ position, thirds }: Verification["positions"][number]): string {
  const off = thirds.filter(({ reached }) => !reached);
  const most = thirds.reduce((a, b) => (Math.abs(departure(b)) > Math.abs(departure(a)) ? b : a));
  return `${position}: ${off.length} of ${thirds.length} third-octave bands beyond their interval, the farthest ${most.frequency_hz} Hz by ${inDecibels(departure(most))}.`;
}
