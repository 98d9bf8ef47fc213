/** What stands around the sources in a venue file: audience, boundaries, cavities, the room, named positions. */
import * as z from "zod";
import { absorption, byOctave, fourCorners, fraction, length, name, number, point } from "./values";

const edge = (text: string) =>
  z
    .strictObject({
      x: length("from the stage's front edge toward the back"),
      width: length("from one end to the other", 0.1, 2000),
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
export const audience = z
  .union([z.strictObject({ ...crowd, ...byEdges }), z.strictObject({ ...crowd, ...byCorners })])
  .meta({ description: "a flat or raked area of audience, by its front and back edge or by four corners" });
export const zone = (text: string) =>
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
export const box = z
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

export const boundary = z
  .strictObject({
    name: name("unique, such as 'wall behind the subs'"),
    corners: fourCorners("corners of a flat rectangle in order around"),
    absorption,
  })
  .meta({ description: "a flat rectangle that reflects" });

export const cavity = z
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
export const room = z
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

export const position = z
  .strictObject({
    id: name("unique, such as 'mix position'"),
    point: point("where the ear or the microphone is"),
  })
  .meta({ description: "a named position" });
