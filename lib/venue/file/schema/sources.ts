/** What sounds in a venue file: cabinets, hangs, fills, and subwoofers by their layout. */
import * as z from "zod";
import { filter, pattern } from "./processing";
import { count, length, levelCurve, name, number, point, position } from "./values";

const size = z
  .strictObject({
    width: length("across", 0.01, 30),
    height: length("up", 0.01, 30),
    depth: length("along the axis", 0.01, 30),
  })
  .meta({ description: "the box itself" });

export const cabinet = z.strictObject({
  size,
  level: levelCurve,
  pattern,
  acousticCentre: length(
    "how far before the middle of its front the low frequencies sound from, along the axis; by default from its size where the pattern is omni, else 0",
    -10,
    10,
  ).optional(),
});

const aim = z
  .strictObject({
    horizontal: number("degrees, toward house left positive", -180, 180).default(0),
    down: number("degrees below the horizontal", -90, 90).default(0),
  })
  .meta({ id: "aim", description: "where the axis points; straight to the back of the room by default" });

/** Set in the processor, for one entry as a whole. */
const processing = {
  gain: number("dB", -60, 40).default(0),
  delayMs: number("milliseconds, positive is later", -1000, 5000).default(0),
  polarity: z.enum(["normal", "inverted"]).default("normal"),
  filters: z.array(filter).max(20).default([]).meta({ description: "filters, all in series" }),
};
const common = {
  name: name("unique among its kind, such as 'main' or 'left subs'"),
  cabinet: name("one of the file's cabinets"),
};
const mirror = z
  .boolean()
  .default(false)
  .meta({ description: "true: the same once more on the other side of the centre line" });

export const hang = z
  .strictObject({
    ...common,
    top: point("middle of the front of the uppermost element's top edge"),
    elements: count("number of elements", 1, 40),
    aim: aim.default({ horizontal: 0, down: 0 }),
    splay: z
      .union([
        number("degrees", 0, 30),
        z
          .array(number("degrees", 0, 30))
          .min(1)
          .max(39),
      ])
      .meta({
        description: "degrees from each element to the next one below: one for all, or one for each gap",
      })
      .default(0),
    spacing: length("from centre to centre; the cabinet's height by default", 0.01, 30).optional(),
    shading: z
      .array(number("dB", -40, 10))
      .min(1)
      .max(40)
      .optional()
      .meta({ description: "gain of each element, dB, from the top down" }),
    mirror,
    ...processing,
  })
  .meta({ description: "elements hung one below the other; `aim` is that of the uppermost" });

export const fill = z
  .strictObject({ ...common, position, aim: aim.default({ horizontal: 0, down: 0 }), mirror, ...processing })
  .meta({ description: "one loudspeaker that helps out: front fill, under-balcony, delay" });

const across = count("cabinets side by side", 1, 40).default(1);
const high = count("cabinets on top of each other", 1, 10).default(1);
const upTo = number(
  "highest frequency the layout must work at, hertz; else its lowest low-pass, else 100",
  20,
  500,
).optional();
const placed = { ...common, position, aim: aim.default({ horizontal: 0, down: 0 }), upTo, ...processing };
const howMany = count("number of cabinets", 2, 64);
const step = length("from centre to centre", 0.05, 100);

export const sub = z
  .discriminatedUnion("layout", [
    z.strictObject({ layout: z.literal("single"), ...placed }).meta({ description: "one cabinet" }),
    z
      .strictObject({ layout: z.literal("pair"), ...placed, across, high })
      .meta({ description: "a stack at `position` and the same on the other side" }),
    z
      .strictObject({ layout: z.literal("centre-block"), ...placed, across, high })
      .meta({ description: "one stack" }),
    z
      .strictObject({ layout: z.literal("line"), ...placed, count: howMany, spacing: step })
      .meta({ description: "cabinets side by side along a straight line, `position` in its middle" }),
    z
      .strictObject({
        layout: z.literal("arc"),
        ...placed,
        count: howMany,
        spacing: step,
        openingAngle: number("whole angle that the line should cover, degrees", 1, 170),
      })
      .meta({ description: "a straight line, delayed toward its ends as if it stood on an arc" }),
    z
      .strictObject({
        layout: z.literal("gradient"),
        ...placed,
        elements: z.literal([2, 3]).meta({ description: "cabinets, one behind the other" }),
        spacing: length("from one cabinet's centre to that behind it", 0.05, 10),
      })
      .meta({
        description: "cabinets one behind the other, inverted and delayed so that they cancel behind",
      }),
    z
      .strictObject({
        layout: z.literal("end-fire"),
        ...placed,
        count: count("number of cabinets", 2, 16),
        spacing: length("from one cabinet's centre to that in front of it", 0.05, 10),
      })
      .meta({
        description:
          "a row along the axis, each delayed so that all add up in front; `position` is the foremost",
      }),
    z
      .strictObject({
        layout: z.literal("flown"),
        ...common,
        top: point("middle of the front of the uppermost cabinet's top edge"),
        count: count("number of cabinets", 1, 40),
        spacing: length("from centre to centre; the cabinet's height by default", 0.05, 30).optional(),
        aim: aim.default({ horizontal: 0, down: 0 }),
        mirror,
        upTo,
        ...processing,
      })
      .meta({ description: "a straight flown array" }),
  ])
  .meta({ description: "subwoofers; several entries make a mixed layout" });
