/** A proposal is changed, a venue drawn from a few numbers, files written, and what was edited by hand left alone. */
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { readShow } from "../../../lib/study/read-show";
import { type Editing, startEditing } from "../../../scripts/new-show/editing";
import { readNewShowOptions } from "../../../scripts/new-show/options";
import { placeByDelay } from "../../../scripts/new-show/place";
import { byDelays, usualForm, venueOf } from "../../../scripts/new-show/venue-form";

const demo = path.join(__dirname, "..", "..", "..", "data", "shows", "harbour-theatre");
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), "evenground-editing-"));
  for (const name of ["mains.wav", "subs.wav"]) copyFileSync(path.join(demo, name), path.join(folder, name));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const takeOf = (editing: Editing, holds: string) =>
  editing.state().takes.find((take) => take.holds === holds)!;

describe("with the drawing beside the recordings", () => {
  beforeEach(() => copyFileSync(path.join(demo, "venue.json"), path.join(folder, "venue.json")));

  it("microphones are where the demo says that they stood, by their delays alone", () => {
    const { takes } = JSON.parse(readFileSync(path.join(demo, "show.json"), "utf8"));
    const mains = takeOf(startEditing({ folder, name: "x" }), "mains");
    const found = mains.tracks.flatMap(({ position, channel, use }) =>
      use === "microphone" ? [[position, channel]] : [],
    );
    expect(Object.fromEntries(found)).toEqual(takes[0].microphones);
  });

  it("a channel that is named otherwise is so in every take", () => {
    const editing = startEditing({ folder, name: "x" });
    editing.setTrack(0, 1, { position: "row D" });
    editing.setTrack(0, 2, { position: "row A" });
    editing.write();
    const show = readShow(folder);
    expect(show.file.takes.map((take) => "microphones" in take && take.microphones["row A"])).toEqual([3, 3]);
  });

  it("two channels at one position are told, and one is left out", () => {
    const editing = startEditing({ folder, name: "x" });
    editing.setTrack(0, 1, { position: "row D" });
    expect(editing.state().doubts.join("\n")).toMatch(/channel 3: mains at "row D" is there already/);
  });
});

describe("the air", () => {
  it("that was told for all takes goes into each, where one has no other", () => {
    copyFileSync(path.join(demo, "venue.json"), path.join(folder, "venue.json"));
    const call = readNewShowOptions([folder, "--temperature", "24", "--humidity", "40"])!;
    const editing = startEditing({ folder, name: "x", air: call.air });
    editing.setAir(1, { temperature: 18 });
    editing.write();
    const told = readShow(folder).file.takes.map(
      (take) => "recording" in take && [take.temperature, take.humidity],
    );
    expect(told).toEqual([
      [24, 40],
      [18, undefined],
    ]);
    editing.setAir(undefined, {});
    expect(editing.state().takes.every((take) => !("temperature" in take))).toBe(true);
  });

  it.each(["90", "warm", ""])("of %j degrees is refused", (degrees) => {
    expect(() => readNewShowOptions([folder, "--temperature", degrees])).toThrow(
      /--temperature is .*, expected -20 to 50/,
    );
  });
});

describe("without a drawing", () => {
  it("by flags alone comes to a show that can be read", () => {
    const call = readNewShowOptions([
      folder,
      "--units",
      "ft",
      "--array-height",
      "20",
      "--width",
      "60",
      "--back",
      "100",
      "--write",
    ])!;
    expect(call.form["array-height"]).toBeCloseTo(6.096, 6);
    const editing = startEditing({ folder, name: "x", form: call.form });
    editing.write();
    const { venue, file } = readShow(folder);
    expect(venue.positions).toHaveLength(6);
    expect(file.takes.map(({ playing }) => playing)).toEqual(["mains", "subs"]);
  });

  it("positions that are given are the drawing by which microphones are placed", () => {
    // Their true distances in the demo's theatre, in another order.
    const stood = [
      { id: "far", x: 21, y: 3 },
      { id: "near", x: 3, y: 3 },
      { id: "middle", x: 10, y: 3 },
    ];
    const {
      microphones: [early, later, last],
    } = placeByDelay(
      [0.02, 0.04, 0.072].map((delay) => ({ label: "x.wav", delay })),
      venueOf("x", usualForm, stood),
    );
    expect([early.position, later.position, last.position]).toEqual(["near", "middle", "far"]);
  });

  it("positions are guessed from delays on the centre line: sound takes 2.9 ms for a metre", () => {
    const form = { ...usualForm, "array-spacing": 0, "array-height": 1.2 };
    const [first, second] = byDelays(form, [
      { id: "b", seconds: 0.02915 },
      { id: "a", seconds: 0 },
    ]);
    expect(first).toMatchObject({ id: "a", x: 3 });
    expect(second).toMatchObject({ id: "b", x: 13 });
  });

  it.each([
    [{ back: 2 }, /back is 2, expected more than front/],
    [{ elements: 99 }, /elements is 99, expected 1 to 32/],
    [{ ceiling: Number.NaN }, /ceiling is NaN, expected/],
  ])("answers that make no sense are refused: %j", (form, says) => {
    expect(() => startEditing({ folder, name: "x" }).setForm(form)).toThrow(says);
  });

  it("each shape of the form is a venue that the library reads", () => {
    for (const form of [
      usualForm,
      { ...usualForm, ceiling: 8, wall: 2 },
      { ...usualForm, wall: 1, "sub-spacing": 0, "array-spacing": 0, elements: 1 },
    ])
      expect(venueOf("x", form, [{ id: "a", x: 4, y: 0 }]).sources.length).toBeGreaterThan(2);
  });

  it("the line that a lab in a real room prints draws its room, with every length that the form asks for", () => {
    const sheet = readFileSync(path.resolve("notebooks/mentors/real-room.md"), "utf8");
    const [, line] = /^ {4}npm run new-show -- (my-room --write .*)$/m.exec(sheet) ?? [];
    const words = Array.from(line.matchAll(/"([^"]*)"|(\S+)/g), ([, quoted, plain]) => quoted ?? plain);
    const call = readNewShowOptions(words);
    expect(Object.keys(call?.form ?? {}).sort()).toEqual(Object.keys(usualForm).sort());
    const form = { ...usualForm, ...call?.form } as typeof usualForm;
    const venue = venueOf("my-room", form, call?.positions ?? []);
    expect(venue.positions.map(({ id }) => id)).toEqual(["row 1", "row 2", "row 3", "row 3 far left"]);
  });

  it("the wall stands as far behind the subs' backs as the form says, indoors and out", () => {
    for (const ceiling of [0, 8]) {
      const venue = venueOf("x", { ...usualForm, wall: 1.5, ceiling }, []);
      const [sub] = venue.sources.filter(({ group }) => group === "subs");
      const wall = Math.min(...venue.boundaries.flatMap(({ corners }) => corners.map(({ x }) => x)));
      expect(sub.point.x - (sub.size?.depth ?? Number.NaN) - wall).toBeCloseTo(1.5, 9);
    }
  });
});

describe("a folder", () => {
  it("with files edited by hand keeps them", () => {
    startEditing({ folder, name: "x" }).write();
    const file = path.join(folder, "show.json");
    writeFileSync(file, readFileSync(file, "utf8").replace('"x"', '"my own"'));
    expect(startEditing({ folder, name: "y" }).write().show).toBe("show (new).json");
    expect(readFileSync(file, "utf8")).toContain('"my own"');
  });

  it("without recordings is refused in a sentence", () => {
    expect(() => startEditing({ folder: demo.replace("harbour-theatre", ""), name: "x" })).toThrow(
      /holds no WAV file that can be read/,
    );
  });

  it("with a file that is no recording tells it and goes on", () => {
    writeFileSync(path.join(folder, "text.wav"), "no recording");
    expect(startEditing({ folder, name: "x" }).state().doubts[0]).toMatch(/text\.wav/);
  });
});
