/** How loud a tone seems: equal-loudness-level contours. */
import { requireWithin } from "../../guard/arguments";
import { interpolateLog } from "../bands/curve";

/**
 * The standard's 29 frequencies, hertz, each with the exponent of loudness, the transmission to the ear relative to 1 kHz in dB, and
 * the threshold of hearing in dB (its table 1, as public implementations reprint it).
 */
const table: readonly (readonly [f: number, exponent: number, transmission: number, threshold: number])[] = [
  [20, 0.532, -31.6, 78.5],
  [25, 0.506, -27.2, 68.7],
  [31.5, 0.48, -23, 59.5],
  [40, 0.455, -19.1, 51.1],
  [50, 0.432, -15.9, 44],
  [63, 0.409, -13, 37.5],
  [80, 0.387, -10.3, 31.5],
  [100, 0.367, -8.1, 26.5],
  [125, 0.349, -6.2, 22.1],
  [160, 0.33, -4.5, 17.9],
  [200, 0.315, -3.1, 14.4],
  [250, 0.301, -2, 11.4],
  [315, 0.288, -1.1, 8.6],
  [400, 0.276, -0.4, 6.2],
  [500, 0.267, 0, 4.4],
  [630, 0.259, 0.3, 3],
  [800, 0.253, 0.5, 2.2],
  [1000, 0.25, 0, 2.4],
  [1250, 0.246, -2.7, 3.5],
  [1600, 0.244, -4.1, 1.7],
  [2000, 0.243, -1, -1.3],
  [2500, 0.243, 1.7, -4.2],
  [3150, 0.243, 2.5, -6],
  [4000, 0.242, 1.2, -5.4],
  [5000, 0.242, -2.1, -1.5],
  [6300, 0.245, -7.1, 6],
  [8000, 0.254, -11.2, 12.6],
  [10000, 0.271, -10.7, 13.9],
  [12500, 0.301, -3.1, 12.3],
];

const [frequencies, ...columns] = [0, 1, 2, 3].map((i) => table.map((row) => row[i]));
/** The standard vouches for this range, up to 80 phon only above 4 kHz. */
const [softest, loudest] = [20, 90];

/**
 * Sound pressure level at which a tone is as loud as one of 1 kHz: a point of an equal-loudness-level contour.
 *
 * @param phon  loudness level: the level of the equally loud tone of 1 kHz, 20 to 90; above 4 kHz the standard vouches for 80 at most
 * @param frequency  hertz, 20 to 12500; between the standard's 29 its parameters are interpolated over log frequency (common practice)
 * @returns dB re 20 µPa: of pure tones from the front in the open, for young normal hearing
 * @throws RangeError outside these ranges
 * @source ISO 226:2003, 4.1; check: tests/acoustics/level/loudness.test.ts
 * @example
 * acoustics.loudness.contour(40, 100) // 64.37
 */
export function equalLoudness(phon: number, frequency: number): number {
  requireWithin("phon", phon, softest, loudest);
  const [exponent, transmission, hearing] = parameters(frequency);
  const excitation = 4.47e-3 * (10 ** (0.025 * phon) - 1.15) + hearing;
  return (10 / exponent) * Math.log10(excitation) - transmission + 94;
}

/**
 * Loudness level of a pure tone.
 *
 * @param level  dB re 20 µPa
 * @param frequency  hertz, 20 to 12500
 * @returns phon: the level of a tone of 1 kHz that is as loud
 * @throws RangeError outside that range, or where the result would lie outside 20 to 90 phon, for which the standard vouches
 * @source ISO 226:2003, 4.2
 * @example
 * acoustics.loudness.phon(64.37, 100) // 40.0
 */
export function loudnessLevel(level: number, frequency: number): number {
  const [exponent, transmission, hearing] = parameters(frequency);
  const excitation = 10 ** ((exponent / 10) * (level + transmission - 94)) - hearing;
  const phon = 40 * Math.log10(excitation / 4.47e-3 + 1.15);
  if (!(phon >= softest - 1e-6 && phon <= loudest + 1e-6))
    throw new RangeError(
      `${level} dB at ${frequency} Hz is outside the ${softest} to ${loudest} phon that equal-loudness contours are given for`,
    );
  return phon;
}

/** Exponent, transmission in dB, and what the threshold of hearing leaves of excitation. */
function parameters(frequency: number): readonly [number, number, number] {
  requireWithin("frequency", frequency, frequencies[0], frequencies[frequencies.length - 1]);
  const [exponent, transmission, threshold] = columns.map((column) =>
    interpolateLog(frequencies, column, frequency),
  );
  return [exponent, transmission, (0.4 * 10 ** ((threshold + transmission) / 10 - 9)) ** exponent];
}
