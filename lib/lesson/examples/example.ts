/** The show folders that come with the course. */
import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { courseRoot } from "./course-root";
import type { ExampleShow } from "./names.generated";

/**
 * The folder of one of the course's own shows.
 *
 * @param name  of a show, such as "harbour-theatre"
 * @returns absolute path of its folder
 * @throws RangeError when there is no such show; the message names those there are
 * @source own way, no outside source; check: tests/lesson/output/show.test.ts
 * @example
 * read.show(read.example("harbour-theatre")).venue.name // "Quillmere Harbour Theatre"
 */
export function example(name: ExampleShow): string {
  const shows = join(courseRoot(), "data", "shows");
  const folder = join(shows, name);
  if (/^[\w-]+$/.test(name) && existsSync(folder)) return folder;
  const known = readdirSync(shows).filter((each) => existsSync(join(shows, each, "show.json")));
  throw new RangeError(
    `there is no show "${name}" in the course, expected ${known.map((k) => `"${k}"`).join(", ")}`,
  );
}
