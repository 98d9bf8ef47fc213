/** A venue of the course whose measures differ a little from variant to variant, so that no answer can be copied. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { readVenue } from "../../venue/file/read";
import type { Venue } from "../../venue/venue";
import { courseRoot } from "../examples/course-root";

interface Place {
  x: number;
  y: number;
  z: number;
}

interface VenueText {
  name: string;
  air?: { temperature: number };
  mains: { top: Place }[];
  subs: { position?: Place; top?: Place; mirror?: boolean; gain?: number }[];
  box?: { from: Place; to: Place };
}

/**
 * A venue with its hangs, subs, air and side walls moved.
 *
 * @param name  of a file in data, such as "venues/harbour-theatre"
 * @param random  numbers from 0 to 1
 * @param change  a further change of the file's content
 * @returns the venue
 */
export function variedVenue(
  name: string,
  random: () => number,
  change: (file: VenueText) => void = () => {},
): Venue {
  const text = readFileSync(join(courseRoot(), "data", `${name}.json`), "utf8");
  const file = JSON.parse(text) as VenueText;
  const between = (low: number, high: number) => Math.round((low + random() * (high - low)) * 100) / 100;
  if (file.air) file.air.temperature += Math.round(between(-4, 4));
  const drop = between(0, 0.06);
  for (const hang of file.mains) hang.top.z = Math.round(hang.top.z * (1 - drop) * 100) / 100;
  const forward = between(-0.1, 0.15);
  const apart = between(-0.3, 0.3);
  for (const sub of file.subs) {
    const at = sub.position ?? sub.top;
    if (!at) continue;
    at.x = Math.round((at.x + forward) * 100) / 100;
    if (at.y !== 0) at.y = Math.round((at.y + Math.sign(at.y) * apart) * 100) / 100;
  }
  if (file.box) {
    file.box.from.y = Math.round((file.box.from.y - between(0, 0.6)) * 100) / 100;
    file.box.to.y = Math.round((file.box.to.y + between(0, 0.6)) * 100) / 100;
  }
  change(file);
  return readVenue(JSON.stringify(file), `${name}.json, varied`);
}
