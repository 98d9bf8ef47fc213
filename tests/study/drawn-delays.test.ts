import path from "node:path";
import { describe, expect, it } from "vitest";
import { changedBetween } from "../../lib/study/drawn-delays";
import type { FoundDelay } from "../../lib/study/measure-take";
import { readShow } from "../../lib/study/read-show";

const { venue } = readShow(path.resolve(__dirname, "../../data/shows/harbour-theatre"));
/** Metres from the nearer hang are not needed: flights of ten to fifty milliseconds as the stalls have them. */
const mains = venue.sources.filter((source) => source.group !== "subs");
const flight = (id: string) => {
  const at = venue.positions.find((p) => p.id === id)!.point;
  const c = 331.3 * Math.sqrt(1 + venue.air.temperature / 273.15); // textbook speed of sound in dry air
  return Math.min(
    ...mains.map((s) => Math.hypot(s.point.x - at.x, s.point.y - at.y, s.point.z - at.z) / c + s.delay),
  );
};
const found = (position: string, playing: FoundDelay["playing"], time: number): FoundDelay => {
  const chosen = {
    time,
    strength: 0,
    sharpness: 40,
    uncertainty: 1e-5,
    polarity: 1 as const,
    reliable: true,
  };
  return { position, playing, result: { candidates: [chosen], chosen, manual: false } };
};
const told = (change: (flight: number, position: string) => number) =>
  changedBetween(
    venue,
    ["row A", "row D", "row H", "row L", "row P", "row T"].flatMap((id) => [
      found(id, "mains", flight(id) + 0.005),
      found(id, "both", flight(id) + 0.005 + change(flight(id), id)),
    ]),
  ).join();

describe("what changed between the takes of the mains and of both", () => {
  it("is nothing where all arrive as before", () => {
    expect(told(() => 0)).toBe("");
    expect(told(() => 5e-5)).toBe("");
  });
  it("is the air where all come earlier in proportion: 6 °C make 1 % at 21 °C", () => {
    expect(told((t) => t * (Math.sqrt(294.15 / 300.15) - 1))).toMatch(
      /air became 6 °C warmer: all arrive 1\.0 % earlier/,
    );
  });
  it("is the start of the recording where all come later alike", () => {
    expect(told(() => 0.008)).toMatch(/all arrive 8\.0 ms later .* start of the recording/);
  });
  it("is a microphone that moved where one alone comes otherwise", () => {
    expect(told((_, id) => (id === "row H" ? 0.002 : 0))).toMatch(
      /^position "row H": .*2\.0 ms later .*moved by 0\.7 m/,
    );
  });
});
