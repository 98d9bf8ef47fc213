import { readFileSync } from "node:fs";
import path from "node:path";
import { expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { lowBand, prepareWaves, recordGroups, type Waves } from "../../../lib/field/waves/low-band";
import { readVenue } from "../../../lib/venue/file/read";
import { seats } from "../../../lib/venue/seats";
import type { Venue } from "../../../lib/venue/venue";

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

it("a stack of the subs that is inverted, silent, turned down or late needs no run, and sounds as in a run of the whole", () => {
  const places = seats(theatre, { count: 4 }).map((p) => p.point);
  const frequency = logGrid(25, 160, 12);
  const changes = [{ polarity: -1 }, { gain: -100 }, { gain: -7.5 }, { delay: 0.007 }] as const;
  // Parts of the largest pressure: what is cut off at a run's end differs where one stack is late in it.
  const within = [1e-4, 1e-4, 1e-4, 0.01];
  const rigs = changes.map((change): Venue => {
    const sources = theatre.sources.map((s) =>
      s.group === "subs" && s.point.y < 0 ? { ...s, ...change } : s,
    );
    return { ...theatre, air: { ...theatre.air, temperature: 20 }, sources };
  });
  const heard = (rig: Venue, progress?: () => void) => {
    const subs = rig.sources.filter((s) => s.group === "subs");
    const at = lowBand(rig, subs, frequency, places, progress);
    return places.map((place) => at?.(place) as Waves);
  };
  heard({ ...rigs[0], sources: theatre.sources });
  heard(rigs[0]);
  let runs = 0;
  const byStacks = rigs.map((rig) => heard(rig, () => runs++));
  expect(runs).toBe(0);
  rigs.forEach((rig, r) => {
    prepareWaves(rig, [rig.sources.filter((s) => s.group === "subs")], []); // all of them as one
    const whole = heard(rig);
    const size = Math.max(...whole.flatMap(({ re, im }) => [...re.map((x, k) => Math.hypot(x, im[k]))]));
    whole.forEach(({ re, im }, p) => {
      re.forEach((x, k) => {
        const { re: a, im: b } = byStacks[r][p];
        expect(Math.hypot(x - a[k], im[k] - b[k]) / size).toBeLessThan(within[r]);
      });
    });
  });
});
