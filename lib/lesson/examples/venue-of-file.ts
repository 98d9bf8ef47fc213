/** A venue from its file, one of the course's or one's own, as the file has it or with a few of its numbers changed. */
import { readdirSync } from "node:fs";
import { basename, join } from "node:path";
import { readPlainFile, textOf, UnreadableFile } from "../../files/read";
import { readVenue } from "../../venue/file/read";
import type { Venue } from "../../venue/venue";
import { courseRoot } from "./course-root";
import type { ExampleVenue } from "./names.generated";

/**
 * A venue from its file, one of the course's or your own, as the file has it or with a few of its numbers changed.
 *
 * @param file  name of one of the course's, such as "harbour-theatre", or the path of a venue file, which ends in ".json"
 * @param changes  new numbers by their path in the file, in the file's units: `{ "mains[0].top.z": 6 }`; none by default
 * @returns the venue in metres, seconds and decibels, its hangs and layouts made into sources
 * @throws RangeError when there is no such venue or file, or no number at such a path
 * @throws VenueFileError when the file makes no sense, with all its problems
 * @source the file: JSON, RFC 8259, by a schema of our own (data/venue.schema.json); check:
 *   tests/lesson/figures/lesson-figures.test.ts
 * @example
 * const warm = read.venue("pennavoe-assembly-hall", { "air.temperature": 30, "mains[0].top.z": 7 });
 * warm.air.temperature // 30
 */
export function venueOfFile(
  file: ExampleVenue | (string & {}),
  changes: { readonly [path: string]: number } = {},
): Venue {
  const path = pathOf(file);
  const name = basename(path);
  const text = textAt(path, file);
  if (Object.keys(changes).length === 0) return readVenue(text, name);
  const content = JSON.parse(text);
  for (const [at, value] of Object.entries(changes)) change(content, at, value, name);
  return readVenue(JSON.stringify(content), `${name}, changed`);
}

function pathOf(file: string): string {
  if (file.endsWith(".json")) return file;
  const folder = join(courseRoot(), "data", "venues");
  const known = readdirSync(folder).filter((each) => each.endsWith(".json"));
  if (known.includes(`${file}.json`)) return join(folder, `${file}.json`);
  throw new RangeError(
    `there is no venue "${file}" in the course, expected ${known.map((k) => `"${k.slice(0, -5)}"`).join(", ")}, or the path of a file that ends in .json`,
  );
}

function textAt(path: string, file: string): string {
  try {
    return textOf(readPlainFile(path, 5e6));
  } catch (error) {
    if (!(error instanceof UnreadableFile)) throw error;
    throw new RangeError(
      error.reason === "missing" ? `there is no file "${file}"` : `"${file}" ${error.message}`,
    );
  }
}

/** Puts a number in place of the one that stands at a path. */
function change(content: unknown, path: string, value: number, name: string): void {
  const keys = path.split(/[.[\]]+/).filter(Boolean);
  const last = keys.pop() ?? "";
  let at = content;
  for (const key of keys) at = (at as { [key: string]: unknown } | undefined)?.[key];
  const found = (at as { [key: string]: unknown } | undefined)?.[last];
  if (typeof found !== "number") {
    throw new RangeError(`${name} has no number at "${path}": look into the file`);
  }
  (at as { [key: string]: unknown })[last] = value;
}
