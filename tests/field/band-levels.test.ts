import { describe, expect, it } from "vitest";
import { thirdOctaves } from "../../lib/acoustics/bands/bands";
import { modelBandLevels } from "../../lib/field/band-levels";
import { at, source, venue } from "./venues";

const bands = thirdOctaves(40, 80);
const place = { x: 0, y: 0, z: 0 };

describe("band levels of a model", () => {
  it("are those of the distance law in free field, position by position and band by band", () => {
    const level = { frequency: [40, 80], level: [94, 94] };
    const v = venue({ sources: [source(place, { level })] });
    const found = modelBandLevels(v, [at(10, 0, 0), at(0, 2, 0)], ["subs"], bands);
    expect(found.bands).toBe(bands);
    expect(found.level.length).toBe(2 * bands.length);
    bands.forEach((_, b) => {
      expect(found.level[b]).toBeCloseTo(94 - 20, 2);
      expect(found.level[bands.length + b]).toBeCloseTo(94 - 6.0206, 2);
    });
  });

  it("of two groups are those of their sum by amplitude and phase: 6.02 dB more, or nothing", () => {
    const sources = [source(place), source(place, { id: "main", group: "mains" })];
    const level = (polarity: 1 | -1) =>
      modelBandLevels(
        venue({ sources: [sources[0], { ...sources[1], polarity }] }),
        [at(4, 0, 0)],
        ["subs", "mains"],
        bands,
      ).level;
    for (const x of level(1)) expect(x).toBeCloseTo(94 - 12.0412 + 6.0206, 2);
    for (const x of level(-1)) expect(x).toBeLessThan(-100);
  });

  it("of a group that the venue lacks are −∞", () => {
    const { level } = modelBandLevels(venue(), [at(4, 0, 0)], ["fills"], bands);
    expect([...level]).toEqual(bands.map(() => -Infinity));
  });
});
