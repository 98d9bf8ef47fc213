/** The small parts of a venue file: lengths, numbers, points, curves over frequency, absorptions. */
import * as z from "zod";

export const MOST = 2000; // no venue is larger than this, in metres or feet

/** A length; the mark `unit` tells the reader which numbers follow the file's unit. */
export const length = (text: string, least = -MOST, most = MOST) =>
  z.number().min(least).max(most).meta({ description: text, unit: "length" });
export const number = (text: string, least: number, most: number) =>
  z.number().min(least).max(most).meta({ description: text });
export const count = (text: string, least: number, most: number) =>
  z.int().min(least).max(most).meta({ description: text });
/** On one line and without spaces around, so that it reads well in messages, tables and figures. */
export const name = (text: string) =>
  z
    .string()
    .regex(/^\S([^\p{Cc}]*\S)?$/u)
    .max(80)
    .meta({ description: text });

export const point = (text: string) =>
  z
    .strictObject({
      x: length("from the stage's front edge toward the back of the room; behind the edge is negative"),
      y: length("across; house left, the left hand of someone who faces the stage, is positive"),
      z: length("above the floor of the first row"),
    })
    .meta({ description: text });

export const position = z
  .strictObject({
    x: length("from the stage's front edge toward the back of the room; behind the edge is negative"),
    y: length("across; house left, the left hand of someone who faces the stage, is positive"),
    z: length("above the floor of the first row, 0 or more", 0),
  })
  .meta({
    id: "position",
    description: "middle of the front of the cabinet; in a stack, of the one at the bottom",
  });

export const fourCorners = (text: string) =>
  z.tuple([point("corner"), point("corner"), point("corner"), point("corner")]).meta({ description: text });

/** Values by frequency; a key such as "63.0" would be a second way to write "63". */
export const curveOf = (text: string, value: z.ZodNumber, keys: string) =>
  z
    .record(z.string().regex(/^[1-9]\d{0,4}(\.\d{0,3}[1-9])?$/), value)
    .refine((entries) => Object.keys(entries).length > 0)
    .meta({ description: `${text}, by frequency in hertz: ${keys}`, minProperties: 1 });

export const fraction = z.number().min(0).max(1);
export const byOctave = (text: string, value: z.ZodNumber) => curveOf(text, value, '{ "125": …, "1000": … }');
export const absorption = z
  .union([fraction, byOctave("energy absorption 0…1", fraction), z.string().min(1).max(80)])
  .meta({
    id: "absorption",
    description: "energy absorption 0…1: one number, values by octave, or the name of a material",
  });

const decibel = z.number().min(-100).max(160);
export const levelCurve = z.union([decibel, curveOf("dB", decibel, '{ "31.5": …, "63": … }')]).meta({
  description:
    "sound pressure level at 1 m on axis in free field, dB re 20 µPa per third-octave band, whatever the file's unit of length",
});
