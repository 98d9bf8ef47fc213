/** The limits of a search as a person writes them: a JSON file in metres, milliseconds, degrees and decibels. */
import * as z from "zod";
import type { LayoutLimits, SubKind } from "../../lib/decision/layouts/limits";
import { cabinetOf } from "../../lib/venue/cabinet";
import { orientation } from "../../lib/venue/direction";
import { explain, wordIssue } from "../../lib/venue/file/explain";
import { formerLimitsKeys, withCurrentKeys } from "../../lib/venue/file/former-keys";
import { parseJson } from "../../lib/venue/file/json";
import { pattern } from "../../lib/venue/file/schema/processing";
import { fourCorners, name, point } from "../../lib/venue/file/schema/values";
import type { Venue } from "../../lib/venue/venue";

/** What may stand in the file, by name, with an example of each. */
export const limitsExample = `{
  "positions": [
    { "name": "floor", "from": { "x": 0.6, "y": -6, "z": 0.3 }, "to": { "x": 0.6, "y": 6, "z": 0.3 }, "spacing": 1.2 },
    { "name": "pit", "corners": [{ "x": 1.4, "y": 4, "z": 0.3 }, { "x": 1.4, "y": -4, "z": 0.3 },
                                 { "x": 2.2, "y": -4, "z": 0.3 }, { "x": 2.2, "y": 4, "z": 0.3 }], "spacing": 0.8 },
    { "name": "truss", "point": { "x": 0.5, "y": 0, "z": 7 }, "flown": true }
  ],
  "kinds": [{ "name": "as drawn" }, { "name": "cardioid", "pattern": { "kind": "first-order", "a": 0.5 } },
            { "name": "toward the stage", "turned": 180 }],
  "count": [2, 6], "mirror": true, "inverted": true,
  "delaysMs": [0, 12], "delayStepMs": 0.5, "gains": [-6, 0], "gainStep": 3, "headroom": 6
}`;

const number = (text: string) => z.number().meta({ description: text });
const pair = (text: string) =>
  z
    .tuple([number(`${text}, the least`), number(`${text}, the most`)])
    .meta({ description: `${text}: two numbers, the lesser first` });
const common = {
  name: name("of the place"),
  flown: z.boolean().optional(),
  spacing: number("metres from one place to the next").optional(),
};
const limitsFile = z.strictObject({
  positions: z
    .array(
      z
        .union([
          z.strictObject({ ...common, point: point("a single place") }),
          z.strictObject({ ...common, from: point("one end"), to: point("the other end") }),
          z.strictObject({ ...common, corners: fourCorners("of an area") }),
        ])
        .meta({
          description: "a point, or from and to, or four corners, each with x, y and z in metres",
        }),
    )
    .min(1),
  kinds: z
    .array(
      z.strictObject({
        name: name("of the cabinet"),
        pattern: pattern.optional(),
        turned: number("degrees toward house left").optional(),
      }),
    )
    .min(1)
    .optional(),
  count: pair("how many cabinets").optional(),
  mirror: z.boolean().optional(),
  inverted: z.boolean().optional(),
  delaysMs: pair("milliseconds").optional(),
  delayStepMs: number("milliseconds").optional(),
  gains: pair("decibels").optional(),
  gainStep: number("decibels").optional(),
  headroom: number("decibels").optional(),
});

/**
 * Limits from a file's text. A kind is the venue's first sub with another pattern, or turned by degrees toward house left.
 *
 * @param text  JSON
 * @param file  its name, for messages
 * @param venue  whose sub the kinds vary
 * @throws RangeError that names the file and the field
 */
export function readLimits(text: string, file: string, venue: Venue): LayoutLimits {
  const fail = (problem: string): never => {
    throw new RangeError(`limits "${file}": ${problem}. An example of a whole file:\n${limitsExample}`);
  };
  const { content, remarks, problems } = withCurrentKeys(parsed(text, fail), file, formerLimitsKeys);
  const { data, error } = limitsFile.safeParse(content, { error: wordIssue });
  const found = [...problems, ...(error ? explain(error.issues) : [])];
  if (!data || found.length) return fail(found.map(({ path, text }) => `${path} ${text}`).join("; "));
  for (const remark of remarks) console.log(remark);
  const { kinds, delaysMs, delayStepMs, ...rest } = data;
  return {
    ...rest,
    ...(kinds && { kinds: kindsOf(kinds, venue, fail) }),
    ...(delaysMs && { delays: [delaysMs[0] / 1000, delaysMs[1] / 1000] as const }),
    ...(delayStepMs !== undefined && { delayStep: delayStepMs / 1000 }),
  };
}

function parsed(text: string, fail: (problem: string) => never): unknown {
  try {
    return parseJson(text);
  } catch (error) {
    return fail((error as Error).message);
  }
}

type Kinds = NonNullable<z.infer<typeof limitsFile>["kinds"]>;

function kindsOf(kinds: Kinds, venue: Venue, fail: (problem: string) => never): SubKind[] {
  const sub =
    venue.sources.find((s) => s.group === "subs") ?? fail(`kinds vary a sub, and "${venue.name}" has none`);
  return kinds.map(({ name, turned = 0, pattern = sub.pattern }) => ({
    name,
    cabinet: { ...cabinetOf(sub), pattern },
    ...orientation(turned, 0),
  }));
}
