/**
 * Feet into metres, once, at the door: the rest of the library never sees a foot.
 *
 * Which numbers are lengths is told by their keys; a test holds this list against the marks in the schema.
 */

/** One international foot in metres, exact by definition (international yard and pound agreement, 1959). */
export const METRES_PER_FOOT = 0.3048;

/** Power of the unit of length by which each key's number scales. */
export const LENGTH_KEYS: Readonly<Record<string, number>> = {
  x: 1,
  y: 1,
  z: 1,
  width: 1,
  height: 1,
  depth: 1,
  radius: 1,
  acousticCentre: 1,
  spacing: 1,
  earHeight: 1,
  volume: 3,
  surface: 2,
  area: 2,
};

/**
 * The same file with its lengths in metres.
 *
 * @param file  the file after its check, in the unit that its `units` names
 * @returns a copy in metres; the file itself where it is in metres already
 */
export function inMetres<T extends { readonly units: "m" | "ft" }>(file: T): T {
  return file.units === "m" ? file : ({ ...(convert(file) as T), units: "m" } as T);
}

function convert(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(convert);
  if (value === null || typeof value !== "object") return value;
  const entries = Object.entries(value).map(([key, entry]) => {
    const power = LENGTH_KEYS[key];
    return [key, power && typeof entry === "number" ? entry * METRES_PER_FOOT ** power : convert(entry)];
  });
  return Object.fromEntries(entries);
}

/** Writes a length for a message in the unit that the file's author thinks in: "1.2 m", "3.94 ft". */
export type WriteLength = (metres: number) => string;

export function writeLength(units: "m" | "ft"): WriteLength {
  const scale = units === "ft" ? METRES_PER_FOOT : 1;
  return (metres) => `${Number((metres / scale).toFixed(3))} ${units}`;
}

/** Writes an area likewise: "1.2 m²", "13 ft²". */
export type WriteArea = (squareMetres: number) => string;

export function writeArea(units: "m" | "ft"): WriteArea {
  const scale = units === "ft" ? METRES_PER_FOOT ** 2 : 1;
  return (area) => `${Number((area / scale).toPrecision(2))} ${units}²`;
}
