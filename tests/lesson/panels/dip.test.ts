/** The panel that takes one thing after another away, in the open, where the truth is c/4d. */
import { describe, expect, test } from "vitest";
import { dip } from "../../../lib/lesson/panels/dip";
import { acousticCentre } from "../../../lib/venue/centre";
import { source, venue, wall } from "../../field/venues";

const sub = source({ x: 0.6, y: 0, z: 0.3 });
const field = venue({
  sources: [sub],
  boundaries: [
    wall("z", 0),
    { ...wall("x", -1.2), name: "container" },
    { ...wall("x", 60), name: "far wall" },
  ],
  audience: [
    {
      name: "field",
      corners: [
        { x: 4, y: 5, z: 0 },
        { x: 4, y: -5, z: 0 },
        { x: 18, y: -5, z: 0 },
        { x: 18, y: 5, z: 0 },
      ],
      earHeight: 1.6,
      density: 1,
    },
  ],
});
const position = { id: "row 5", point: { x: 9, y: 1, z: 1.6 }, area: "field", people: 1 };
const content = dip.reduce({ venue: field, position });
const view = dip.prepare(content);

describe('the panel "dip"', () => {
  test("finds the dip of the wall behind the sub, and that it goes with it", () => {
    const quarter = 343.2 / 4 / (acousticCentre(sub).x + 1.2);
    expect(Math.abs(Math.log2(content.at / quarter))).toBeLessThan(0.1);
    expect(content.without[0].name).toBe("container");
    expect(content.without[0].left).toBeLessThan(content.depth / 4);
    const last = content.without[content.without.length - 1];
    expect(last.left).toBeGreaterThan(0.8 * content.depth);
    expect(view({ away: 0 }).words).toContain("More than half of it goes without container.");
    expect(view({ away: 1 }).words).toContain('Without "container"');
  });

  test("draws the level with everything there beside that without one thing, on axes that stay", () => {
    const [{ max }] = dip.sliders(content);
    expect(max).toBe(content.without.length);
    const [all] = view({ away: 0 }).figures;
    for (let away = 1; away <= max; away++) {
      const [one] = view({ away }).figures;
      expect(one.layout.yaxis).toEqual(all.layout.yaxis);
      expect(one.data.length).toBeGreaterThan(all.data.length);
    }
  });

  test("refuses a venue without subs, and a position without a dip", () => {
    expect(() => dip.reduce({ venue: { ...field, sources: [] }, position })).toThrow(/has no subs/);
    const bare = { ...field, boundaries: [wall("z", 0)] };
    expect(() => dip.reduce({ venue: bare, position })).toThrow(/no dip of 4 dB at "row 5"/);
  });
});
