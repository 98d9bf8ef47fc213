/**
 * One of the course's venues, as its file has it or with a few of its numbers changed.
 */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { readVenue } from "../../venue/file/read";
import type { Venue } from "../../venue/venue";
import type { VenueName } from "../names";
import { courseRoot } from "./course-root";

/**
 * A venue of the course.
 *
 * @param name  such as "harbour-theatre"
 * @param changes  new numbers by their path in the file: `{ "mains[0].top.z": 6 }`
 * @returns the venue
 * @throws RangeError when there is no such venue or path; VenueFileError when the changed file makes no sense
 */
export function exampleVenue(name: VenueName, changes: { readonly [path: string]: number } = {}): Venue {
  const folder = join(courseRoot(), "data", "venues");
  const file = join(folder, `${name}.json`);
  if (!/^[\w-]+$/.test(name) || !existsSync(file)) {
    const known = readdirSync(folder).filter((each) => each.endsWith(".json"));
    throw new RangeError(
      `there is no venue "${name}" in the course, expected ${known.map((k) => `"${k.slice(0, -5)}"`).join(", ")}`,
    );
  }
  const text = readFileSync(file, "utf8");
  if (Object.keys(changes).length === 0) return readVenue(text, `${name}.json`);
  const content = JSON.parse(text);
  for (const [path, value] of Object.entries(changes)) change(content, path, value, name);
  return readVenue(JSON.stringify(content), `${name}.json, changed`);
}

/** Puts a number in place of the one that stands at a path. */
function change(content: unknown, path: string, value: number, name: string): void {
  const keys = path.split(/[.[\]]+/).filter(Boolean);
  const last = keys.pop() ?? "";
  let at = content;
  for (const key of keys) at = (at as { [key: string]: unknown } | undefined)?.[key];
  const found = (at as { [key: string]: unknown } | undefined)?.[last];
  if (typeof found !== "number") {
    throw new RangeError(
      `the venue "${name}" has no number at "${path}": look into data/venues/${name}.json`,
    );
  }
  (at as { [key: string]: unknown })[last] = value;
}
