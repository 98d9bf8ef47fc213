/** What a thermometer beside the system said of the air of a take; what is absent was not told. */
export interface AirTold {
  /** °C. */
  readonly temperature?: number;
  /** Relative humidity, percent. */
  readonly humidity?: number;
}

/** Of each the least and the greatest that a show takes. */
export const airLimits = { temperature: [-20, 50], humidity: [1, 100] } as const;

/** @throws RangeError where one is out of its limits; null counts as not told */
export function airOf(told: { readonly temperature?: unknown; readonly humidity?: unknown }): AirTold {
  const kinds = ["temperature", "humidity"] as const;
  return Object.fromEntries(
    kinds.flatMap((kind) => {
      const value = told[kind];
      if (value === undefined || value === null) return [];
      const [least, greatest] = airLimits[kind];
      if (typeof value === "number" && value >= least && value <= greatest) return [[kind, value]];
      throw new RangeError(`${kind} is ${value}, expected ${least} to ${greatest}, or nothing`);
    }),
  );
}
