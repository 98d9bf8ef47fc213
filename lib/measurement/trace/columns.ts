/**
 * The columns of a trace file: their names, the plain words taken for them, and what they may hold.
 */
export type ColumnName =
  | "frequency_hz"
  | "magnitude_db"
  | "phase_deg"
  | "coherence"
  | "averages"
  | "diffuse"
  | "real"
  | "imaginary";

const aliases: Readonly<Record<string, ColumnName>> = {
  frequency_hz: "frequency_hz",
  frequency: "frequency_hz",
  magnitude_db: "magnitude_db",
  magnitude: "magnitude_db",
  level_db: "magnitude_db",
  level: "magnitude_db",
  phase_deg: "phase_deg",
  phase_degrees: "phase_deg",
  phase: "phase_deg",
  coherence: "coherence",
  averages: "averages",
  diffuse: "diffuse",
  real: "real",
  imaginary: "imaginary",
};

/** What each column may hold: lowest, highest, and how a message says so. */
export const columnLimits: Readonly<Record<ColumnName, readonly [number, number, string]>> = {
  frequency_hz: [0, 1e6, "hertz, 0 or more"],
  magnitude_db: [-1000, 1000, "decibels within ±1000"],
  phase_deg: [-1e9, 1e9, "degrees"],
  coherence: [0, 1, "0 to 1, so a percentage divided by 100"],
  averages: [0, 1e12, "a number of averages, 0 or more"],
  diffuse: [0, 1e100, "a mean square, 0 or more"],
  real: [-1.001e50, 1.001e50, "a finite number within ±1e50"],
  imaginary: [-1.001e50, 1.001e50, "a finite number within ±1e50"],
};

/** The column that a heading in a file means, if any: capitals, blanks and brackets around units don't matter. */
export function columnOf(column: string): ColumnName | undefined {
  const plain = column
    .slice(0, 40)
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "_")
    .replace(/^_|_$/g, "");
  return Object.hasOwn(aliases, plain) ? aliases[plain] : undefined;
}
