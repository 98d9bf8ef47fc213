/** What a venue file says about filters, patterns and the air: the acoustics' own types, with limits. */
import * as z from "zod";
import type { Pattern } from "../../../acoustics/directivity/pattern";
import type { Air } from "../../../acoustics/distance/air";
import type { Filter } from "../../../acoustics/filters/filter";
import { count, length, number } from "./values";

const frequency = number("hertz: corner, crossover or middle", 1, 24000);
const slope = count("order, 6 dB per octave each", 1, 8);
const passType = z.enum(["lowpass", "highpass"]);
export const filter = z
  .discriminatedUnion("kind", [
    z.strictObject({
      kind: z.literal("butterworth"),
      type: passType,
      order: slope,
      frequency,
    }),
    z.strictObject({
      kind: z.literal("bessel"),
      type: passType,
      order: slope,
      frequency,
      normalisation: z
        .enum(["magnitude", "phase"])
        .optional()
        .meta({ description: "magnitude: 3 dB down at the frequency; phase: half of the final phase there" }),
    }),
    z.strictObject({
      kind: z.literal("linkwitz-riley"),
      type: passType,
      order: z.literal([2, 4, 8]).meta({ description: "order, 6 dB per octave each" }),
      frequency,
    }),
    z.strictObject({
      kind: z.enum(["peak", "low-shelf", "high-shelf"]),
      frequency,
      gain: number("dB", -40, 40),
      q: number("quality factor", 0.05, 50),
    }),
    z.strictObject({
      kind: z.literal("all-pass"),
      order: z.literal([1, 2]).meta({ description: "1 turns the phase by 180° in all, 2 by 360°" }),
      frequency,
      q: number("quality factor, for order 2", 0.05, 50).optional(),
    }),
  ])
  .meta({ id: "filter", description: "a filter in the processing" });

export const pattern = z
  .discriminatedUnion("kind", [
    z.strictObject({ kind: z.literal("omni") }).meta({
      description:
        "all round but for what its closed box shadows, by its size: most subs; first-order with a = 0 is all round without a box",
    }),
    z.strictObject({
      kind: z.literal("first-order"),
      a: number("0 omni, 0.5 cardioid, 0.75 hypercardioid, 1 figure of eight", 0, 1),
    }),
    z.strictObject({
      kind: z.literal("sphere"),
      radius: length("of the sphere that the closed box acts as", 0.02, 10),
    }),
    z.strictObject({
      kind: z.literal("piston"),
      width: length("side across", 0.01, 30),
      height: length("side up", 0.01, 30),
      rear: number("how far the rear half stays below the axis, dB", 0, 80),
    }),
  ])
  .meta({ id: "pattern", description: "how the level falls off axis" });

export const air = z.strictObject({
  temperature: number("°C", -20, 50),
  relativeHumidity: number("percent", 10, 100),
  pressure: number("kilopascals; 101.325 at sea level", 50, 110).default(101.325),
});

/** The compiler holds the file and the acoustics together where they say the same thing. */
const agreed: [
  Same<z.output<typeof air>, Plain<Air>>,
  Same<z.output<typeof filter>, Plain<Filter>>,
  Same<z.output<typeof pattern>, Plain<Pattern>>,
] = [true, true, true];
void agreed;
type Same<A, B> = [Keys<A>, A] extends [Keys<B>, B]
  ? [Keys<B>, B] extends [Keys<A>, A]
    ? true
    : never
  : never;
/** Pairs of kind and key: an optional key more or less would not show in the types' own assignability. */
type Keys<T> = T extends { kind: infer K extends string } ? `${K} ${keyof T & string}` : keyof T;
type Plain<T> = T extends unknown ? { -readonly [K in keyof T]: T[K] } : never;
