/** The venue file's schema in the form that editors and other validators read. */
import * as z from "zod";
import { venueFile } from "./schema/file";

/**
 * JSON Schema (draft 2020-12) of a venue file as a person writes it: entries with a default may be left out.
 *
 * It holds all limits of single entries. What only the whole file shows, such as a name that stands twice, is for
 * `readVenue` alone.
 *
 * @returns the schema as a plain object; lengths carry `"unit": "length"`
 */
export function venueJsonSchema(): Record<string, unknown> {
  return z.toJSONSchema(venueFile, { io: "input" }) as Record<string, unknown>;
}
