import { readFileSync } from "node:fs";
import path from "node:path";
import { expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { lowBand, recordGroups } from "../../../lib/field/waves/low-band";
import { readVenue } from "../../../lib/venue/file/read";
import { seats } from "../../../lib/venue/seats";

/** With rakes, which cut corners off cubes. */
const file = path.resolve(__dirname, "../../../data/venues/harbour-theatre.json");
const theatre = readVenue(readFileSync(file, "utf8"), "theatre");

it("what was recorded once serves seats of any number: no run is made for them", () => {
  recordGroups(theatre, []);
  let runs = 0;
  const subs = theatre.sources.filter((s) => s.group === "subs");
  for (const count of [60, 120, 333]) {
    const places = seats(theatre, { count }).map((p) => p.point);
    const at = lowBand(theatre, subs, logGrid(25, 125, 8), places, () => runs++);
    expect(at?.(places[0])?.re[0]).not.toBe(0);
  }
  expect(runs).toBe(0);
});
