/** What a person meets who mistypes a venue file: the place, the value, what was expected, all at once. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { VenueFileError } from "../../../lib/venue/file/problems";
import { readVenue } from "../../../lib/venue/file/read";

// biome-ignore lint/suspicious/noExplicitAny: a file under test is anything
type Loose = any;

const folder = join(__dirname, "../../../data/venues");
const theatre = readFileSync(join(folder, "harbour-theatre.json"), "utf8");

/** The theatre with a change, and all that is said about it. */
function complaints(change: (file: Loose) => void): string[] {
  const file = JSON.parse(theatre) as Loose;
  change(file);
  return complaintsOf(JSON.stringify(file));
}

function rename(entry: Loose, wrong: string, right: string): void {
  entry[wrong] = entry[right];
  delete entry[right];
}

function complaintsOf(text: string): string[] {
  try {
    readVenue(text, "test.json");
  } catch (error) {
    if (!(error instanceof VenueFileError)) throw error;
    return error.problems.map(({ path, text }) => `${path} ${text}`.trim());
  }
  return [];
}

describe("readVenue", () => {
  test("reads every venue of the course", () => {
    const names = readdirSync(folder).filter((name) => name.endsWith(".json"));
    expect(names.length).toBeGreaterThanOrEqual(8);
    for (const name of names) {
      const venue = readVenue(readFileSync(join(folder, name), "utf8"), name);
      for (const group of ["mains", "subs"]) {
        expect(
          venue.sources.some((s) => s.group === group),
          `${name}: ${group}`,
        ).toBe(true);
      }
      const ids = venue.sources.map((s) => s.id);
      expect(new Set(ids).size, `${name}: ids of sources differ`).toBe(ids.length);
      expect(venue.positions.length, `${name}: places`).toBeGreaterThanOrEqual(6);
    }
  });

  test("reads the example of the venues' README, outdoors and without a single boundary", () => {
    const example = /```json\n([\s\S]*?)```/.exec(readFileSync(join(folder, "README.md"), "utf8"))?.[1] ?? "";
    const venue = readVenue(example, "README.md");
    expect(venue.sources.map((s) => s.id)).toEqual([
      ...[1, 2, 3, 4].map((i) => `mains hang left ${i}`),
      ...[1, 2, 3, 4].map((i) => `mains hang right ${i}`),
      "sub left",
      "sub right",
    ]);
    expect(venue.boundaries).toEqual([]);
    expect(venue.room).toBeUndefined();
  });

  test("names the path, the value found and what was expected", () => {
    expect(
      complaints((f) => {
        f.subs[0].position.z = -3;
      }),
    ).toEqual(["subs[0].position.z is -3, expected 0 or more (above the floor of the first row, 0 or more)"]);
    expect(
      complaints((f) => {
        f.mains[0].elements = 8.5;
      }),
    ).toEqual(["mains[0].elements is 8.5, expected a whole number (number of elements)"]);
    expect(
      complaints((f) => {
        f.air.temperature = "warm";
      }),
    ).toEqual(['air.temperature is "warm", expected a number (°C)']);
    expect(complaints((f) => delete f.audience[0].earHeight)[0]).toMatch(
      /^audience\[0\]\.earHeight is missing, expected a number/,
    );
    expect(
      complaints((f) => {
        f.mains[0].filters[0].order = 3;
      }),
    ).toEqual(["mains[0].filters[0].order is 3, expected 2 or 4 or 8"]);
  });

  test("refuses an unknown key and names the likely one, everywhere", () => {
    expect(
      complaints((f) => {
        f.mains[0].polarty = "inverted";
      }),
    ).toEqual(['mains[0].polarty is not a known key, did you mean "polarity"?']);
    expect(complaints((f) => rename(f.subs[0], "postion", "position"))).toEqual([
      'subs[0].postion is not a known key, did you mean "position"?',
    ]);
    expect(complaints((f) => rename(f.audience[0], "earHieght", "earHeight"))).toEqual([
      'audience[0].earHieght is not a known key, did you mean "earHeight"?',
    ]);
    expect(
      complaints((f) => {
        f.cabinets["line element"].size.widht = 1;
      }),
    ).toEqual(['cabinets["line element"].size.widht is not a known key, did you mean "width"?']);
    expect(complaints((f) => rename(f, "frontofhouse", "frontOfHouse"))).toEqual([
      'frontofhouse is not a known key, did you mean "frontOfHouse"?',
    ]);
    expect(
      complaints((f) => {
        f.box.absorption.cieling = 0.1;
      }),
    ).toEqual(['box.absorption.cieling is not a known key, did you mean "ceiling"?']);
    expect(
      complaints((f) => {
        f.zebra = 1;
      }),
    ).toEqual(["zebra is not a known key, expected one of the schema's"]);
  });

  test("lists the known keys where none is near", () => {
    expect(complaints((f) => Object.assign(f.positions[0].point, { height: 1 }))).toEqual([
      "positions[0].point.height is not a known key, expected x, y, z",
    ]);
  });

  test("speaks of the branch that was meant where an entry has several forms", () => {
    const table: [(file: Loose) => void, string][] = [
      [
        (f) => delete f.audience[0].front.width,
        "audience[0].front.width is missing, expected a number (from one end to the other)",
      ],
      [
        (f) => Object.assign(f.boundaries[0], { absorption: 1.2 }),
        "boundaries[0].absorption is 1.2, expected 1 or less",
      ],
      [
        (f) => Object.assign(f.boundaries[0], { absorption: { "125": -1 } }),
        'boundaries[0].absorption["125"] is -1, expected 0 or more',
      ],
      [(f) => delete f.room.formula, 'room.formula is missing, expected "sabine" or "eyring"'],
      [(f) => f.boundaries[0].corners.pop(), "boundaries[0].corners is a list of 3, expected 4 entries"],
      [
        (f) => Object.assign(f.mains[0], { splay: "even" }),
        'mains[0].splay is "even", expected degrees from each element to the next one below: one for all, or one for each gap',
      ],
      [
        (f) => delete f.frontOfHouse,
        "frontOfHouse is missing, expected the area where the mix engineer may stand",
      ],
    ];
    for (const [change, expected] of table) expect(complaints(change)).toEqual([expected]);
  });

  test("names the likely word for a mistyped choice or reference", () => {
    expect(
      complaints((f) => {
        f.subs[0].layout = "pari";
      })[0],
    ).toMatch(/^subs\[0\]\.layout is "pari", expected .*did you mean "pair"\?$/);
    expect(
      complaints((f) => {
        f.subs[0].cabinet = "sbu";
      }),
    ).toEqual(['subs[0].cabinet is "sbu", expected one of the file\'s cabinets, did you mean "sub"?']);
    expect(
      complaints((f) => {
        f.boundaries[1].absorption = "seats with poeple";
      }),
    ).toEqual([
      'boundaries[1].absorption is "seats with poeple", expected one of the file\'s materials, did you mean "seats with people"?',
    ]);
    expect(
      complaints((f) => {
        f.mains[0].filters[0].kind = "butterwort";
      })[0],
    ).toContain('did you mean "butterworth"?');
  });

  test("speaks in the unit of the file", () => {
    const found = complaints((f) => {
      f.units = "ft";
      f.subs[0].position.y = 20;
    });
    expect(found).toEqual(['subs[0] has "sub left 1" at y = 20 ft, expected -9 ft to 9 ft, within the box']);
  });

  test("collects all problems of a file into one error with a short message", () => {
    const file = JSON.parse(theatre) as Loose;
    file.mains[0].top.z = "high";
    file.subs[0].gian = 3;
    file.air.relativeHumidity = 120;
    const error = (() => {
      try {
        readVenue(JSON.stringify(file), "hall.json");
      } catch (e) {
        return e as VenueFileError;
      }
    })();
    expect(error?.problems.map((p) => p.path).sort()).toEqual([
      "air.relativeHumidity",
      "mains[0].top.z",
      "subs[0].gian",
    ]);
    expect(error?.message.split("\n")).toHaveLength(4);
    expect(error?.message).toMatch(/^venue "hall\.json" has 3 problems:\n/);
    expect(error?.stack).toBe(`VenueFileError: ${error?.message}`);
  });

  test("tells line and column of a slip in the JSON itself", () => {
    expect(complaintsOf(theatre.replace('"units": "m",', '"units": "m"'))).toEqual([
      'line 6, column 3: found "\\"", expected a comma or }',
    ]);
    expect(complaintsOf(theatre.replace('"units": "m",', '"units": "m", "units": "ft",'))).toEqual([
      'line 5, column 17: the key "units" stands here a second time',
    ]);
    expect(complaintsOf("")).toEqual(["line 1, column 1: the text ends here, expected a value"]);
    expect(complaintsOf("[]")).toEqual([
      "is a list of 0, expected an object { … } (A venue: what stands where, what reflects, and who listens.)",
    ]);
  });

  test("refuses numbers that no venue has, and files that no person wrote, with a sentence", () => {
    expect(complaintsOf(theatre.replace('"elements": 8', '"elements": 1e999'))[0]).toMatch(
      /^mains\[0\]\.elements is Infinity, expected/,
    );
    expect(
      complaints((f) => {
        f.mains[0].elements = 1e6;
      })[0],
    ).toBe("mains[0].elements is 1000000, expected 40 or less (number of elements)");
    expect(
      complaints((f) => {
        f.positions = Array(5000).fill(f.positions[0]);
      })[0],
    ).toBe("positions is a list of 5000, expected 200 entries or less");
    expect(
      complaints((f) => {
        f.subs = Array(60).fill({ ...f.subs[0], across: 40, high: 10 });
      }).pop(),
    ).toBe("has 48020 sources, expected at most 2000");
    expect(complaintsOf(`${theatre}${" ".repeat(1e6)}`)[0]).toMatch(
      /characters long, expected at most 1000000$/,
    );
    expect(
      complaints((f) => {
        f.cabinets.sub.level = {};
      }),
    ).toHaveLength(1);
    expect(
      complaints((f) => {
        f.cabinets.sub.level = { "0": 100 };
      })[0],
    ).toContain("is not a frequency");
    expect(
      complaintsOf(theatre.replace('"materials": {', '"materials": { "__proto__": {"125": 0.1},')),
    ).toEqual([]);
    expect(
      complaints((f) => {
        f.subs[0].cabinet = "constructor";
      })[0],
    ).toContain("expected one of the file's cabinets");
  });

  test("finds what only the whole file shows", () => {
    expect(
      complaints((f) => {
        f.audience[1].name = "stalls";
      }),
    ).toEqual(['audience[1].name is "stalls" like that of audience[0], expected another name']);
    expect(
      complaints((f) => {
        f.positions[3].id = "row A";
      })[0],
    ).toMatch(/^positions\[3\]\.id is "row A" like that of positions\[0\]/);
    expect(
      complaints((f) => {
        f.subs[0].position.y = 20;
      })[0],
    ).toBe('subs[0] has "sub left 1" at y = 20 m, expected -9 m to 9 m, within the box');
    expect(
      complaints((f) => {
        f.subs[0].position.y = 0;
      })[0],
    ).toMatch(/^subs\[0\]\.position\.y is 0, expected a position beside/);
    expect(
      complaints((f) => {
        f.frontOfHouse.back = f.frontOfHouse.front;
      })[0],
    ).toMatch(/^frontOfHouse has no floor to stand on/);
    expect(
      complaints((f) => {
        f.mains[0].splay = [1, 2];
      })[0],
    ).toBe("mains[0].splay is a list of 2, expected 7, one for each gap");
    expect(
      complaints((f) => {
        f.boundaries[0].corners[0].x = -2;
      })[0],
    ).toMatch(
      /^boundaries\[0\]\.corners is no rectangle: .* differ by 0\.9\d* m, expected four right angles$/,
    );
    expect(
      complaints((f) => {
        const { name, earHeight, density } = f.audience[0];
        const at = (x: number, y: number, z: number) => ({ x, y, z });
        f.audience[0] = {
          name,
          earHeight,
          density,
          corners: [at(3, 5, 0), at(3, -5, 0), at(9, -5, 0), at(9, 5, 1)],
        };
      })[0],
    ).toMatch(/^audience\[0\] is bent: a corner is 0\.\d+ m off the plane/);
    expect(
      complaints((f) => f.subs[0].filters.push({ kind: "all-pass", order: 1, frequency: 80, q: 2 })),
    ).toEqual(["subs[0].filters[1].q is 2, expected none for an all-pass of order 1"]);
    expect(
      complaints((f) => {
        f.subs.push({ ...f.subs[0], name: "sub left 2", layout: "single" });
        delete f.subs[1].across;
        delete f.subs[1].high;
      }),
    ).toEqual([
      'subs[1] makes a loudspeaker "sub left 2", as subs[0] does, expected names that keep them apart',
    ]);
    expect(
      complaints((f) => {
        f.mains[0].top.z = 1;
      }),
    ).toEqual(['mains[0] has "mains hang left 5" at z = -0.134 m, expected 0 m to 12 m, within the box']);
    const withoutBox = complaints((f) => {
      f.mains[0].top.z = 1;
      delete f.box;
    });
    expect(withoutBox).toHaveLength(1);
    expect(withoutBox[0]).toMatch(
      /^mains\[0\] has "mains hang left 5" at z = -0\.\d+ m, expected it above the floor/,
    );
    expect(
      complaints((f) => {
        for (const surface of f.room.surfaces) surface.absorption = 1;
      }),
    ).toEqual(["room decays in 0 s at 31.5 Hz, expected 0.05 to 30 s"]);
  });
});

describe("units", () => {
  test("a venue written in feet is the same venue", () => {
    // by hand: 1 ft = 0.3048 m
    const file = JSON.parse(theatre) as Loose;
    file.units = "ft";
    const venue = readVenue(JSON.stringify({ ...file, box: undefined }), "feet.json");
    expect(venue.positions[0].point).toEqual({
      x: file.positions[0].point.x * 0.3048,
      y: file.positions[0].point.y * 0.3048,
      z: file.positions[0].point.z * 0.3048,
    });
    expect(venue.audience[0].earHeight).toBeCloseTo(0.36576, 12);
    expect(venue.audience[0].density).toBe(1.5);
    expect(venue.cavities[0].depth).toBeCloseTo(2.6 * 0.3048, 12);
    expect(venue.room?.volume).toBeCloseTo(5200 * 0.028316846592, 6);
    const surface = file.room.surfaces.reduce((sum: number, { area }: { area: number }) => sum + area, 0);
    expect(venue.room?.surface).toBeCloseTo(surface * 0.09290304, 6);
    const sub = venue.sources.find((s) => s.id === "sub left 2");
    expect(sub?.point.z).toBeCloseTo(0.9 * 0.3048, 12);
    expect(sub?.level.level[0]).toBe(88);
    expect(sub?.filters[0]).toMatchObject({ frequency: 85 });
    expect(venue.air.temperature).toBe(21);
  });
});
