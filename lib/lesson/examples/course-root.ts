/** The folder above the library, built or as source, that holds the course's data. */
import { existsSync } from "node:fs";
import { dirname, join } from "node:path";

/** @throws RangeError when no folder above this file holds the data */
export function courseRoot(): string {
  for (let folder = __dirname; folder !== dirname(folder); folder = dirname(folder)) {
    if (existsSync(join(folder, "data", "venues"))) return folder;
  }
  throw new RangeError(`the course's data are not above ${__dirname}: is the repository whole?`);
}
