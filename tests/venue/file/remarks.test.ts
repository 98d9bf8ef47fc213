// Files that can be computed with and are hardly meant: told, not refused.
import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { readVenue } from "../../../lib/venue/file/read";

const cabinet = { size: { width: 1, height: 0.6, depth: 0.8 }, level: 97, pattern: { kind: "omni" } };
const hall = (more: object) =>
  JSON.stringify({
    name: "Hall",
    story: "Bare.",
    cabinets: { cabinet },
    mains: [
      { name: "pa", cabinet: "cabinet", top: { x: 0, y: 4, z: 4 }, elements: 2, splay: [2], mirror: true },
    ],
    subs: [{ name: "sub", layout: "single", cabinet: "cabinet", position: { x: 0, y: 0, z: 0.3 } }],
    audience: [
      { name: "seats", front: { x: 3, width: 8 }, back: { x: 15, width: 8 }, earHeight: 1.2, density: 2 },
    ],
    frontOfHouse: { front: { x: 9, width: 3 }, back: { x: 11, width: 3 }, earHeight: 1.6 },
    ...more,
  });
const remarks = (more: object) => readVenue(hall(more), "hall.json").remarks ?? [];
const flat = (name: string, x: number[], y: number[], z: number) => ({
  name,
  absorption: 0.1,
  corners: [
    { x: x[0], y: y[0], z },
    { x: x[1], y: y[0], z },
    { x: x[1], y: y[1], z },
    { x: x[0], y: y[1], z },
  ],
});
const box = (absorption: unknown) => ({
  from: { x: -4, y: -6, z: 0 },
  to: { x: 16, y: 6, z: 6 },
  absorption,
});

describe("a venue file is remarked upon", () => {
  it("where two boundaries lie over one another, with the area", () => {
    const said = remarks({
      boundaries: [flat("floor", [-5, 10], [-6, 6], 0), flat("dance floor", [6, 20], [-3, 3], 0)],
    });
    expect(said).toEqual([
      expect.stringMatching(
        /^hall\.json: boundaries "floor" and "dance floor" lie over one another on 24 m²: /,
      ),
    ]);
  });

  it("not where they meet at an edge, at a corner of the room, or one above the other", () => {
    const floors = [flat("front", [-5, 10], [-6, 6], 0), flat("rear", [10, 20], [-6, 6], 0)];
    expect(remarks({ boundaries: [...floors, flat("balcony", [12, 20], [-6, 6], 3)] })).toEqual([]);
    expect(remarks({ box: box(0.1) })).toEqual([]);
  });

  it("where a ceiling lies between feet and ears", () => {
    const said = remarks({ boundaries: [flat("ceiling", [10, 20], [-6, 6], 1)] });
    expect(said).toEqual([
      expect.stringMatching(/"seats" has ears 1\.2 m above its floor, beyond boundary "ceiling"/),
    ]);
    expect(remarks({ boundaries: [flat("ceiling", [10, 20], [-6, 6], 1.3)] })).toEqual([]);
    expect(remarks({ boundaries: [flat("floor", [-5, 20], [-6, 6], 0)] })).toEqual([]);
  });

  // 20 m by 12 m by 6 m: 1440 m³ and 864 m². Of 0.1 everywhere Eyring's 0.161 V/(−S ln 0.9) is 2.55 s; the air's
  // 4.7 dB/km at 1 kHz (ISO 9613-1) are 4mV = 6 m² more: 2.4 s.
  it("where absorption and reverberation time contradict one another, with both", () => {
    const room = (reverberationTime: number) => ({ volume: 1440, surface: 864, reverberationTime });
    const said = remarks({ box: box(0.1), room: room(1) });
    expect(said).toEqual([
      expect.stringMatching(/reverberationTime is 1 s at 1000 Hz.* makes 2\.4 s by Eyring/),
    ]);
    expect(remarks({ box: box(0.1), room: room(1.7) })).toEqual([]);
    // One wall alone tells nothing of a room's decay.
    expect(remarks({ box: box({ back: 0.1 }), room: room(1) })).toEqual([]);
  });

  it("and refused where ears lie outside of its box", () => {
    expect(() => remarks({ box: { ...box(0.1), to: { x: 16, y: 6, z: 4.5 } } })).not.toThrow();
    const audience = [
      {
        name: "seats",
        front: { x: 3, width: 8 },
        back: { x: 15, width: 8, z: 3.5 },
        earHeight: 1.2,
        density: 2,
      },
    ];
    expect(() => remarks({ audience, box: { ...box(0.1), to: { x: 16, y: 6, z: 4.5 } } })).toThrow(
      /audience\[0\]\.earHeight puts ears at z = 4\.7 m, expected 0 m to 4\.5 m, within the box/,
    );
  });
});

describe("the venues of the course", () => {
  const folders = ["data/venues", "data/shows/harbour-theatre"];
  const files = folders.flatMap((folder) =>
    readdirSync(folder)
      .filter((name) => name.endsWith(".json") && name !== "show.json")
      .map((name) => path.join(folder, name)),
  );
  it.each(files)("%s has nothing to be remarked upon", (file) => {
    expect(readVenue(readFileSync(file, "utf8"), file).remarks).toBeUndefined();
  });
});
