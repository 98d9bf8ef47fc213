/** What the entries of a file become: each expected value worked out by hand from a small venue. */
import { describe, expect, test } from "vitest";
import { readVenue } from "../../../lib/venue/file/read";

// biome-ignore lint/suspicious/noExplicitAny: a file under test is anything
type Loose = any;

const at = (x: number, y: number, z: number) => ({ x, y, z });

/** A small venue with a change. */
function read(change: (file: Loose) => void) {
  const file: Loose = {
    name: "Small",
    story: "One of each.",
    air: { temperature: 20, relativeHumidity: 50 },
    materials: { felt: { "1000": 0.6, "125": 0.1 } },
    cabinets: {
      box: {
        size: { width: 1, height: 0.5, depth: 0.6 },
        level: { "1000": 90, "63": 80 },
        pattern: { kind: "omni" },
      },
    },
    mains: [{ name: "main", cabinet: "box", top: at(0, 0, 6), elements: 1 }],
    subs: [{ name: "sub", layout: "single", cabinet: "box", position: at(1, 0, 0.25) }],
    audience: [
      {
        name: "floor",
        front: { x: 3, width: 8 },
        back: { x: 13, width: 10, z: 1, y: 2 },
        earHeight: 1.2,
        density: 1,
      },
    ],
    frontOfHouse: { front: { x: 8, width: 4 }, back: { x: 10, width: 4 }, earHeight: 1.5 },
  };
  change(file);
  return readVenue(JSON.stringify(file), "small.json");
}

const subs = (change: (file: Loose) => void) => read(change).sources.filter((s) => s.group === "subs");

describe("processing", () => {
  test("comes in milliseconds and words, and goes on in seconds and signs", () => {
    const [sub] = subs((f) => Object.assign(f.subs[0], { gain: -3, delayMs: 12.5, polarity: "inverted" }));
    expect([sub.gain, sub.delay, sub.polarity]).toEqual([-3, 0.0125, -1]);
    const [plain] = subs(() => {});
    expect([plain.gain, plain.delay, plain.polarity, plain.filters]).toEqual([0, 0, 1, []]);
  });

  test("shades a hang element by element on top of its gain", () => {
    const { sources } = read((f) =>
      Object.assign(f.mains[0], { elements: 3, gain: 1, shading: [0, -2, -4] }),
    );
    expect(sources.filter((s) => s.group === "mains").map((s) => s.gain)).toEqual([1, -1, -3]);
  });
});

describe("mirror", () => {
  test("makes left and right, named by the side of the room, axes mirrored", () => {
    for (const [y, first] of [
      [4, "left"],
      [-4, "right"],
    ] as const) {
      const { sources } = read((f) => {
        f.mains = [
          {
            name: "m",
            cabinet: "box",
            top: at(0, y, 6),
            elements: 1,
            aim: { horizontal: -30 },
            mirror: true,
          },
        ];
      });
      const [a, b] = sources;
      expect(a.id).toBe(`mains m ${first} 1`);
      expect(b.id).toBe(`mains m ${first === "left" ? "right" : "left"} 1`);
      expect(a.point.y).toBe(y);
      expect(b.point).toEqual({ ...a.point, y: -y });
      expect(a.axis.y).toBeCloseTo(-0.5, 12);
      expect(b.axis.y).toBeCloseTo(0.5, 12);
    }
  });
});

describe("curves and absorptions", () => {
  test("stand in ascending order however they were written", () => {
    const venue = read((f) => {
      f.boundaries = [
        { name: "wall", corners: [at(0, 1, 0), at(0, -1, 0), at(0, -1, 2), at(0, 1, 2)], absorption: "felt" },
      ];
    });
    expect(venue.sources[0].level).toEqual({ frequency: [63, 1000], level: [80, 90] });
    expect(venue.boundaries[0].absorption).toEqual({ frequency: [125, 1000], value: [0.1, 0.6] });
  });

  test("of a box go to their faces, and a face left out is not there", () => {
    const venue = read((f) => {
      f.box = { from: at(-2, -6, 0), to: at(15, 8, 7), absorption: { floor: 0.3, back: "felt" } };
    });
    expect(venue.boundaries.map((b) => b.name)).toEqual(["floor", "rear wall"]);
    expect(venue.boundaries[0].absorption.value).toEqual([0.3]);
    expect(venue.boundaries[1].corners.every((c) => c.x === 15)).toBe(true);
    const all = read((f) => {
      f.box = { from: at(-2, -6, 0), to: at(15, 8, 7), absorption: 0.2 };
    });
    expect(all.boundaries).toHaveLength(6);
  });
});

describe("areas", () => {
  test("by edges become corners: front left, front right, back right, back left", () => {
    expect(read(() => {}).audience[0].corners).toEqual([
      at(3, 4, 0),
      at(3, -4, 0),
      at(13, -3, 1),
      at(13, 7, 1),
    ]);
  });
});

describe("room", () => {
  // 1000 m³, 600 m² of α = 0.1: A = 60 m². T = 24 ln 10 V/(c A), c = 343.2 m/s (ISO 354): 2.684 s; Eyring −S ln(1−α) = 63.22 m²: 2.547 s
  const decay = (formula: string) =>
    read((f) => {
      f.room = {
        volume: 1000,
        surfaces: [
          { area: 400, absorption: 0.1 },
          { area: 200, absorption: 0.1 },
        ],
        formula,
      };
    }).room;

  test("decays by Sabine or Eyring from its surfaces; at 63 Hz the air takes next to no part", () => {
    const at63 = (formula: string) => {
      const room = decay(formula);
      return room?.reverberationTime.value[room.reverberationTime.frequency.indexOf(63)] ?? 0;
    };
    // the air's 0.1 dB/km would take 0.2 %
    expect(Math.abs(at63("sabine") / 2.684 - 1)).toBeLessThan(0.004);
    expect(Math.abs(at63("eyring") / 2.547 - 1)).toBeLessThan(0.004);
    expect(decay("sabine")?.surface).toBe(600);
  });

  test("decays faster at 8 kHz, where the air absorbs: 4 m V of about 0.1 dB per metre", () => {
    // ISO 9613-1 table, 20 °C, 50 %: 105 dB/km at 8 kHz (from memory), m = 0.0242/m, 4 m V = 96.7 m²: T = 55.3 · 1000/(343.2 · 156.7) = 1.03 s
    const room = decay("sabine");
    const value = room?.reverberationTime.value[room.reverberationTime.frequency.indexOf(8000)] ?? 0;
    expect(value).toBeGreaterThan(0.95);
    expect(value).toBeLessThan(1.1);
  });

  test("takes reverberation times as they are", () => {
    const { room } = read((f) => {
      f.room = { volume: 500, surface: 400, reverberationTime: { "1000": 1.1, "125": 1.6 } };
    });
    expect(room).toEqual({
      volume: 500,
      surface: 400,
      reverberationTime: { frequency: [125, 1000], value: [1.6, 1.1] },
    });
  });
});

describe("layouts in a file", () => {
  const entry = (layout: string, more: object) => (f: Loose) => {
    f.subs = [{ name: "s", layout, cabinet: "box", position: at(1, 0, 0.25), ...more }];
  };

  test("an arc of 90° over 8 m: its ends wait for the 1.657 m that they are farther from the point 4 m behind", () => {
    const made = subs(entry("arc", { count: 3, spacing: 4, openingAngle: 90 }));
    expect(made.map((s) => s.point.y)).toEqual([-4, 0, 4]);
    expect(made.map((s) => s.delay)).toEqual([
      expect.closeTo(1.65685 / 343.2, 7),
      0,
      expect.closeTo(1.65685 / 343.2, 7),
    ]);
  });

  test("a gradient pair at 0 °C waits longer than at 20 °C: 331.2 against 343.2 m/s", () => {
    const warm = subs(entry("gradient", { elements: 2, spacing: 1 }));
    const cold = subs((f) => {
      entry("gradient", { elements: 2, spacing: 1 })(f);
      f.air.temperature = 0;
    });
    expect(warm[1].delay).toBeCloseTo(1 / 343.2, 6);
    expect(cold[1].delay).toBeCloseTo(1 / 331.3, 6);
    expect(warm.map((s) => s.point.x)).toEqual([1, 0]);
    expect(warm.map((s) => s.polarity)).toEqual([1, -1]);
  });

  test("an end-fire row, a stack, a line and a flown column stand where the file says", () => {
    expect(subs(entry("end-fire", { count: 3, spacing: 0.8 })).map((s) => s.point.x)).toEqual([
      1,
      expect.closeTo(0.2, 9),
      expect.closeTo(-0.6, 9),
    ]);
    expect(subs(entry("centre-block", { across: 2, high: 2 })).map((s) => [s.point.y, s.point.z])).toEqual([
      [-0.5, 0.25],
      [0.5, 0.25],
      [-0.5, 0.75],
      [0.5, 0.75],
    ]);
    expect(subs(entry("line", { count: 2, spacing: 3 })).map((s) => s.point.y)).toEqual([-1.5, 1.5]);
    const column = subs((f) => {
      f.subs = [{ name: "s", layout: "flown", cabinet: "box", top: at(0, 3, 8), count: 2, mirror: true }];
    });
    expect(column.map((s) => [s.id, s.point.y, s.point.z])).toEqual([
      ["s left 1", 3, 7.75],
      ["s left 2", 3, 7.25],
      ["s right 1", -3, 7.75],
      ["s right 2", -3, 7.25],
    ]);
  });

  test("warns of its spacing up to its lowest low-pass, or up to what it is told", () => {
    // λ/2 at 60 Hz 2.86 m, at 100 Hz 1.716 m
    const filters = [
      { kind: "butterworth", type: "lowpass", order: 4, frequency: 120 },
      { kind: "linkwitz-riley", type: "lowpass", order: 4, frequency: 60 },
    ];
    const warnings = (more: object) => read(entry("line", { count: 4, spacing: 2, ...more })).warnings;
    expect(warnings({ filters })).toEqual([]);
    expect(warnings({ filters, upTo: 100 })?.[0]).toContain("at most 1.72 m up to 100 Hz");
    expect(warnings({})?.[0]).toContain("up to 100 Hz");
  });
});

describe("what the size of a closed box makes", () => {
  // 1 m by 0.5 m by 0.6 m are 0.3 m³, and 0.6 with the image in a floor: spheres of 0.4153 and 0.5232 m.
  const floor = (f: Loose) => {
    f.boundaries = [
      { name: "floor", corners: [at(-9, 9, 0), at(-9, -9, 0), at(20, -9, 0), at(20, 9, 0)], absorption: 0 },
    ];
  };

  test("is a sphere's pattern and a centre before its front, for what is omni", () => {
    const [sub] = subs(floor);
    expect(sub.pattern).toEqual({ kind: "sphere", radius: expect.closeTo(0.5232, 4) });
    expect(sub.centre).toBeCloseTo(0.62 * 0.5232, 4);
    expect(sub.point).toEqual(at(1, 0, 0.25));
    const main = read(floor).sources.find((s) => s.group === "mains");
    expect(main?.pattern).toEqual({ kind: "sphere", radius: expect.closeTo(0.4153, 4) });
  });

  test("gives way to what the file says", () => {
    const [sub] = subs((f) => {
      f.cabinets.box.acousticCentre = 0.25;
      f.cabinets.box.pattern = { kind: "first-order", a: 0 };
    });
    expect([sub.centre, sub.pattern]).toEqual([0.25, { kind: "first-order", a: 0 }]);
    const [front] = subs((f) => {
      f.cabinets.box.acousticCentre = 0;
    });
    expect(front.centre).toBeUndefined();
    const [inFeet] = subs((f) => {
      f.units = "ft";
      f.cabinets.box.acousticCentre = 1;
    });
    expect(inFeet.centre).toBeCloseTo(0.3048, 9);
  });

  test("is none for other patterns", () => {
    const [sub] = subs((f) => {
      f.cabinets.box.pattern = { kind: "first-order", a: 0.5 };
    });
    expect([sub.centre, sub.pattern]).toEqual([undefined, { kind: "first-order", a: 0.5 }]);
  });
});

describe("absorption at normal incidence", () => {
  test("becomes that of sound from all directions: 0.1 and 0.6 by Paris' formula are 0.175 and 0.758, but for cavities", () => {
    const wall = [at(0, 9, 0), at(0, -9, 0), at(0, -9, 5), at(0, 9, 5)];
    const put = (f: Loose) => {
      f.boundaries = [{ name: "wall", corners: wall, absorption: "felt" }];
      f.cavities = [{ name: "pit", opening: wall, depth: 2, absorption: "felt" }];
    };
    const tube = read((f) => {
      put(f);
      f.absorptionIncidence = "normal";
    });
    const [low, high] = tube.boundaries[0].absorption.value;
    expect(low).toBeCloseTo(0.17544, 4);
    expect(high).toBeCloseTo(0.75819, 4);
    expect(tube.cavities[0].absorption.value).toEqual([0.1, 0.6]);
    expect(read(put).boundaries[0].absorption.value).toEqual([0.1, 0.6]);
  });
});
