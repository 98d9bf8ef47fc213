import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { formerShowKeys, withCurrentKeys } from "../../../lib/venue/file/former-keys";
import { readVenue } from "../../../lib/venue/file/read";

const file = join(__dirname, "../../../data/venues/harbour-theatre.json");
const today = readFileSync(file, "utf8");
const former = today.replace('"positions":', '"places":');

describe("a venue file from before", () => {
  test("gives the venue of today's, and says which key has another name now", () => {
    expect(former).not.toBe(today);
    const { remarks, ...venue } = readVenue(former, "old.json");
    expect(venue).toEqual(readVenue(today, "old.json"));
    expect(remarks).toEqual(['old.json: "places" is now called "positions" and was read as that']);
  });

  test("that has both keys is refused, since nobody can tell which one is meant", () => {
    const both = today.replace('"positions":', '"places": [], "positions":');
    expect(() => readVenue(both, "both.json")).toThrow(
      /places is the former name of "positions", which is there too/,
    );
  });

  test("has its mistakes told under today's names", () => {
    const wrong = former.replace('"id": "row A"', '"id": ""');
    expect(() => readVenue(wrong, "wrong.json")).toThrow(/positions\[0\]\.id/);
  });
});

describe("former keys within lists", () => {
  test("are found in each entry and told once; what is no list or object stays for the schema to refuse", () => {
    const takes = [{ sounding: "mains", a: 1 }, { playing: "subs" }, 7, { sounding: "both" }];
    const { content, remarks, problems } = withCurrentKeys({ noise: 1, takes }, "show.json", formerShowKeys);
    expect(content).toEqual({
      noiseFloor: 1,
      takes: [{ playing: "mains", a: 1 }, { playing: "subs" }, 7, { playing: "both" }],
    });
    expect(remarks).toHaveLength(2);
    expect(problems).toEqual([]);
    for (const odd of [null, 3, "x", [], { takes: "none" }])
      expect(withCurrentKeys(odd, "show.json", formerShowKeys)).toEqual({
        content: odd,
        remarks: [],
        problems: [],
      });
  });

  test("beside today's are named with their place", () => {
    const takes = [{ playing: "subs" }, { playing: "mains", sounding: "subs" }];
    const { problems } = withCurrentKeys({ takes }, "show.json", formerShowKeys);
    expect(problems.map(({ path }) => path)).toEqual(["takes[1].sounding"]);
  });
});
