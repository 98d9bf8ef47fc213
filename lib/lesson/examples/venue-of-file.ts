/** A venue from its file, one of the course's or one's own, as the file has it or with a few of its numbers changed. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { readVenue } from "../../venue/file/read";
import type { Venue } from "../../venue/venue";
import { courseRoot } from "./course-root";
import type { ExampleVenue } from "./names.generated";

/**
 * A venue.
 *
 * @param file  name of one of the course's, such as "harbour-theatre", or the path of a venue file, which ends in ".json"
 * @param changes  new numbers by their path in the file: `{ "mains[0].top.z": 6 }`
 * @returns the venue
 * @throws RangeError when there is no such venue, file or path; VenueFileError when the file makes no sense
 */
export function venueOfFile(
  file: ExampleVenue | (string & {}),
  changes: { readonly [path: string]: number } = {},
): Venue {
  const text = readFileSync(pathOf(file), "utf8");
  const name = basename(pathOf(file));
  if (Object.keys(changes).length === 0) return readVenue(text, name);
  const content = JSON.parse(text);
  for (const [path, value] of Object.entries(changes)) change(content, path, value, name);
  return readVenue(JSON.stringify(content), `${name}, changed`);
}

function pathOf(file: string): string {
  if (file.endsWith(".json")) {
    if (existsSync(file)) return file;
    throw new RangeError(`there is no file "${file}"`);
  }
  const folder = join(courseRoot(), "data", "venues");
  const own = join(folder, `${file}.json`);
  if (/^[\w-]+$/.test(file) && existsSync(own)) return own;
  const known = readdirSync(folder).filter((each) => each.endsWith(".json"));
  throw new RangeError(
    `there is no venue "${file}" in the course, expected ${known.map((k) => `"${k.slice(0, -5)}"`).join(", ")}, or the path of a file that ends in .json`,
  );
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
