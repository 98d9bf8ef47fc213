/** A verification in sentences. */
import { percent, signedDecibels } from "../../text/decibels";
import { listed } from "../../text/listed";
import type { Entered, GroupChange } from "./entered";
import type { Verification } from "./result";
import { louderWords } from "./words";

/** @param isExplained  whether what is not reached is explained, or within the error of what mains and subs tell of each other */
export function reasonsFor(
  { entered, state, louder_db, positions, causes }: Omit<Verification, "reasons">,
  isExplained: boolean,
): string[] {
  const told = positions.filter((p) => p.state !== "cannot be said");
  const off = told.filter((p) => p.state === "not reached");
  const first =
    state === "cannot be said"
      ? "Whether the predicted result was reached cannot be said."
      : state === "reached"
        ? `The predicted result was reached at ${told.length === 1 ? "the position" : `all ${told.length} positions`}, within the errors of measurement, with ${enteredWords(entered)}.`
        : `The predicted result was not reached at ${off.length} of ${told.length} positions, ${listed(off.map((p) => p.position))}, with ${enteredWords(entered)} to be entered.`;
  const several = causes.length > 1 ? ["These causes fit alike:"] : [];
  const unknown =
    state === "not reached" && causes.length === 0
      ? [
          isExplained
            ? `What departs is little more than its interval, and no cause stands out: ${departures(off)}. Record it once more.`
            : `No single change explains it: ${departures(off)}. Compare all that was changed since the measurement, and measure again.`,
        ]
      : [];
  return [
    first,
    ...(Math.abs(louder_db) >= 0.05 ? [louderWords(louder_db)] : []),
    ...(state === "reached" && causes.length > 0
      ? ["The levels are reached, but how mains and subs meet tells of a difference:"]
      : []),
    ...several,
    ...causes.map(({ message }) => message),
    ...unknown,
    ...positions.flatMap(({ position, why }) =>
      why ? [`At "${position}" nothing can be said: ${why}.`] : [],
    ),
  ];
}

function departures(off: Verification["positions"]): string {
  const bands = off.flatMap(({ position, thirds }) =>
    thirds.flatMap((band) => (band.reached ? [] : [{ position, ...band }])),
  );
  const by = (b: (typeof bands)[number]) => b.recorded_db - b.predicted_db;
  bands.sort((a, b) => Math.abs(by(b)) - Math.abs(by(a)));
  const all = off.reduce((sum, { thirds }) => sum + thirds.length, 0);
  if (bands.length === 0) return "the low band over the mid band";
  const [most] = bands;
  return `${percent(bands.length / all)} of the bands there, most of all ${most.frequency_hz} Hz at "${most.position}" by ${signedDecibels(by(most))}`;
}

/** "subs +2.5 dB, 3.20 ms later, inverted": what was to be entered. */
export function enteredWords({ mains, subs }: Entered): string {
  const words = (name: string, { level_db, delay_ms, polarity }: GroupChange) => {
    const parts = [
      ...(level_db ? [signedDecibels(level_db)] : []),
      ...(delay_ms ? [`${Math.abs(delay_ms).toFixed(2)} ms ${delay_ms > 0 ? "later" : "earlier"}`] : []),
      ...(polarity < 0 ? ["inverted"] : []),
    ];
    return parts.length ? [`${name} ${parts.join(", ")}`] : [];
  };
  return [...words("subs", subs), ...words("mains", mains)].join("; ") || "no change";
}
