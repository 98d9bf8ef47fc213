/**
 * The venue file as a person writes it: what may stand in it, within which limits, and what each entry means.
 *
 * The descriptions end up in data/venue.schema.json, where editors show them while one types. Lengths are in the
 * file's own unit (metres or feet), angles in degrees, delays in milliseconds; `read.ts` turns all of it into a Venue.
 */
import * as z from "zod";
import { air } from "./processing";
import { cabinet, fill, hang, sub } from "./sources";
import { audience, boundary, box, cavity, position, room, zone } from "./surroundings";
import { byOctave, fraction, name } from "./values";

export const venueFile = z
  .strictObject({
    $schema: z.string().max(500).optional().meta({ description: "tells the editor where the schema is" }),
    name: name("what the venue is called"),
    story: z.string().min(1).max(1000).meta({ description: "what it is like and what it teaches" }),
    units: z.enum(["m", "ft"]).default("m").meta({ description: "unit of every length in this file" }),
    air: air
      .meta({ description: "the air on the day" })
      .default({ temperature: 20, relativeHumidity: 50, pressure: 101.325 }),
    absorptionIncidence: z.enum(["random", "normal"]).default("random").meta({
      description:
        "what the absorptions of materials, boundaries, box and room are: for sound from all directions, as in tables and by ISO 354, or squarely onto the surface, as from an impedance tube (ISO 10534)",
    }),
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
    frontOfHouse: zone("the area where the mix engineer may stand"),
    stage: zone("the area where the performers stand").optional(),
    room: room.optional(),
    positions: z
      .array(position)
      .max(200)
      .default([])
      .meta({ description: "microphone positions, the mix position and the like" }),
  })
  .meta({ title: "Venue", description: "A venue: what stands where, what reflects, and who listens." });

/** The file after its check, in its own units, defaults filled in. */
export type VenueFile = z.output<typeof venueFile>;
