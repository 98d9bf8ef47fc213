/**
 * The venue file as a person writes it: what may stand in it, within which limits, and what each entry means.
 *
 * The descriptions end up in data/venue.schema.json, where editors show them while one types. Lengths are in the
 * file's own unit (metres or feet), angles in degrees, delays in milliseconds; `read.ts` turns all of it into a Venue.
 */
import { z } from "zod";
import type { Air, Filter, Pattern } from "./venue";

const MOST = 2000; // no venue is larger than this, in metres or feet

/** A length; the mark `unit` tells the reader which numbers follow the file's unit. */
const length = (text: string, least = -MOST, most = MOST) =>
  z.number().min(least).max(most).meta({ description: text, unit: "length" });
const number = (text: string, least: number, most: number) =>
  z.number().min(least).max(most).meta({ description: text });
const count = (text: string, least: number, most: number) =>
  z.int().min(least).max(most).meta({ description: text });
const name = (text: string) => z.string().min(1).max(80).meta({ description: text });

const point = (text: string) =>
  z
    .strictObject({
      x: length("from the stage's front edge toward the back of the room; behind the edge is negative"),
      y: length("across; house left, the left hand of someone who faces the stage, is positive"),
      z: length("above the floor of the first row"),
    })
    .meta({ description: text });

const position = z
  .strictObject({
    x: length("from the stage's front edge toward the back of the room; behind the edge is negative"),
    y: length("across; house left, the left hand of someone who faces the stage, is positive"),
    z: length("above the floor of the first row, 0 or more", 0),
  })
  .meta({
    id: "position",
    description: "middle of the front of the cabinet; in a stack, of the one at the bottom",
  });

const fourCorners = (text: string) =>
  z.tuple([point("corner"), point("corner"), point("corner"), point("corner")]).meta({ description: text });

/** Values by frequency; a key such as "63.0" would be a second way to write "63". */
const curveOf = (text: string, value: z.ZodNumber, keys: string) =>
  z
    .record(z.string().regex(/^[1-9]\d{0,4}(\.\d{0,3}[1-9])?$/), value)
    .refine((entries) => Object.keys(entries).length > 0)
    .meta({ description: `${text}, by frequency in hertz: ${keys}`, minProperties: 1 });

const fraction = z.number().min(0).max(1);
const byOctave = (text: string, value: z.ZodNumber) => curveOf(text, value, '{ "125": …, "1000": … }');
const absorption = z
  .union([fraction, byOctave("energy absorption 0…1", fraction), z.string().min(1).max(80)])
  .meta({
    id: "absorption",
    description: "energy absorption 0…1: one number, values by octave, or the name of a material",
  });

const decibel = z.number().min(-100).max(160);
const levelCurve = z.union([decibel, curveOf("dB", decibel, '{ "31.5": …, "63": … }')]).meta({
  description:
    "sound pressure level at 1 m on axis in free field, dB re 20 µPa per third octave, whatever the file's unit of length",
});

const frequency = number("hertz: corner, crossover or middle", 1, 24000);
const passType = z.enum(["lowpass", "highpass"]);
export const filter = z
  .discriminatedUnion("kind", [
    z.strictObject({
      kind: z.literal("butterworth"),
      type: passType,
      order: count("order, 6 dB per octave each", 1, 8),
      frequency,
    }),
    z.strictObject({
      kind: z.literal("bessel"),
      type: passType,
      order: count("order, 6 dB per octave each", 1, 8),
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
    z.strictObject({ kind: z.literal("omni") }),
    z.strictObject({
      kind: z.literal("first-order"),
      a: number("0 omni, 0.5 cardioid, 0.75 hypercardioid, 1 figure of eight", 0, 1),
    }),
    z.strictObject({
      kind: z.literal("piston"),
      width: length("side across", 0.01, 30),
      height: length("side up", 0.01, 30),
      rear: number("how far the rear half stays below the axis, dB", 0, 80),
    }),
  ])
  .meta({ id: "pattern", description: "how the level falls off axis" });

const size = z
  .strictObject({
    width: length("across", 0.01, 30),
    height: length("up", 0.01, 30),
    depth: length("along the axis", 0.01, 30),
  })
  .meta({ description: "the box itself" });

const cabinet = z.strictObject({ size, level: levelCurve, pattern });

const aim = z
  .strictObject({
    horizontal: number("degrees, toward house left positive", -180, 180).default(0),
    down: number("degrees below the horizontal", -90, 90).default(0),
  })
  .meta({ id: "aim", description: "where the axis points; straight to the back of the room unless told" });

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

const hang = z
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
      .default(0)
      .meta({
        description: "degrees from each element to the next one below: one for all, or one for each gap",
      }),
    spacing: length("from centre to centre; the cabinet's height unless told", 0.01, 30).optional(),
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

const fill = z
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

const sub = z
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
        spacing: length("from centre to centre; the cabinet's height unless told", 0.05, 30).optional(),
        aim: aim.default({ horizontal: 0, down: 0 }),
        mirror,
        upTo,
        ...processing,
      })
      .meta({ description: "a straight column in the air" }),
  ])
  .meta({ description: "subwoofers; several entries make a mixed layout" });

const edge = (text: string) =>
  z
    .strictObject({
      x: length("from the stage's front edge toward the back"),
      width: length("from one end to the other", 0.1, MOST),
      y: length("of its middle").default(0),
      z: length("of the floor there").default(0),
    })
    .meta({ description: text });
const byEdges = { front: edge("front edge"), back: edge("back edge") };
const byCorners = {
  corners: fourCorners(
    "floor corners in order around; front house left, front house right, back right, back left",
  ),
};
const earHeight = length("ears above the floor: seated about 1.2 m, standing about 1.6 m", 0.3, 12);
const crowd = {
  name: name("unique, such as 'stalls'"),
  earHeight,
  density: number(
    "people per square metre, whatever the file's unit: about 1.5 seated, 2 to 4 standing",
    0.01,
    8,
  ),
};
const audience = z
  .union([z.strictObject({ ...crowd, ...byEdges }), z.strictObject({ ...crowd, ...byCorners })])
  .meta({ description: "a flat or raked area of audience, by its front and back edge or by four corners" });
const zone = (text: string) =>
  z
    .union([z.strictObject({ earHeight, ...byEdges }), z.strictObject({ earHeight, ...byCorners })])
    .meta({ description: text });

const faces = {
  floor: absorption,
  ceiling: absorption,
  front: absorption,
  back: absorption,
  left: absorption,
  right: absorption,
};
const box = z
  .strictObject({
    from: point("the corner at the front, house right, at the bottom: the least x, y and z"),
    to: point("the corner at the back, house left, at the top: the greatest x, y and z"),
    absorption: z
      .union([
        fraction,
        z.string().min(1).max(80),
        z.strictObject(faces).partial().meta({ description: "by face; a face left out does not reflect" }),
      ])
      .meta({ description: "energy absorption: one for all faces, a material's name, or by face" }),
  })
  .meta({ description: "a rectangular room, as six rectangles that reflect" });

const boundary = z
  .strictObject({
    name: name("unique, such as 'wall behind the subs'"),
    corners: fourCorners("corners of a flat rectangle in order around"),
    absorption,
  })
  .meta({ description: "a flat rectangle that reflects" });

const cavity = z
  .strictObject({
    name: name("unique, such as 'under the stage'"),
    opening: fourCorners("corners of the opening in order around"),
    depth: length("from the opening to the closed end", 0.05, 100),
    absorption,
  })
  .meta({ description: "a space open at the front, such as the one under a stage" });

const volume = z.number().min(10).max(1e8).meta({ description: "volume", unit: "volume" });
const area = (text: string) => z.number().min(0.1).max(1e7).meta({ description: text, unit: "area" });
const seconds = z.number().min(0.05).max(30);
const room = z
  .union([
    z.strictObject({
      volume,
      surface: area("all surfaces together"),
      reverberationTime: z
        .union([seconds, byOctave("seconds", seconds)])
        .meta({ description: "seconds: one for all, or by octave" }),
    }),
    z.strictObject({
      volume,
      surfaces: z
        .array(z.strictObject({ area: area("of this surface"), absorption }))
        .min(1)
        .max(60)
        .meta({ description: "what the room is made of, audience included" }),
      formula: z
        .enum(["sabine", "eyring"])
        .meta({ description: "how the absorption makes a reverberation time" }),
    }),
  ])
  .meta({ description: "for the reverberant sound; leave it out in the open air" });

const place = z
  .strictObject({
    id: name("unique, such as 'mix position'"),
    point: point("where the ear or the microphone is"),
  })
  .meta({ description: "a named place" });

export const air = z.strictObject({
  temperature: number("°C", -20, 50),
  relativeHumidity: number("percent", 10, 100),
  pressure: number("kilopascals; 101.325 at sea level", 50, 110).default(101.325),
});

export const venueFile = z
  .strictObject({
    $schema: z.string().max(500).optional().meta({ description: "tells the editor where the schema is" }),
    name: name("what the venue is called"),
    story: z.string().min(1).max(1000).meta({ description: "what it is like and what it teaches" }),
    units: z.enum(["m", "ft"]).default("m").meta({ description: "unit of every length in this file" }),
    air: air
      .meta({ description: "the air on the day" })
      .default({ temperature: 20, relativeHumidity: 50, pressure: 101.325 }),
    materials: z
      .record(z.string().min(1).max(80), byOctave("energy absorption 0…1", fraction))
      .default({})
      .meta({ description: "absorptions by name, to be used in boundaries" }),
    cabinets: z
      .record(z.string().min(1).max(80), cabinet)
      .meta({ description: "loudspeakers by name, to be used in mains, fills and subs" }),
    mains: z.array(hang).min(1).max(20).meta({ description: "the hangs that carry the show" }),
    fills: z.array(fill).max(60).default([]).meta({ description: "loudspeakers that help out" }),
    subs: z
      .array(sub)
      .min(1)
      .max(60)
      .meta({ description: "subwoofers; several entries make a mixed layout" }),
    audience: z.array(audience).min(1).max(40).meta({ description: "where people listen" }),
    box: box.optional(),
    boundaries: z.array(boundary).max(60).default([]).meta({ description: "what reflects beside the box" }),
    cavities: z.array(cavity).max(10).default([]).meta({ description: "spaces that resonate" }),
    frontOfHouse: zone("where the mixer may stand"),
    stage: zone("where the performers stand").optional(),
    room: room.optional(),
    places: z
      .array(place)
      .max(200)
      .default([])
      .meta({ description: "microphone positions, the mix position and the like" }),
  })
  .meta({ title: "Venue", description: "A venue: what stands where, what reflects, and who listens." });

/** The file after its check, in its own units, defaults filled in. */
export type VenueFile = z.output<typeof venueFile>;

/** The compiler holds the file and the venue together where they say the same thing. */
type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : never) : never;
const agreed: [
  Same<z.output<typeof air>, Mutable<Air>>,
  Same<z.output<typeof filter>, Mutable<Filter>>,
  Same<z.output<typeof pattern>, Mutable<Pattern>>,
] = [true, true, true];
void agreed;
type Mutable<T> = T extends unknown ? { -readonly [K in keyof T]: T[K] } : never;
