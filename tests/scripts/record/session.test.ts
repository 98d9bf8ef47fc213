/** An evening of recording, by a stand-in for the interface: what sounds, what is taken, refused, kept and written. */
import {
  copyFileSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { openWav } from "../../../lib/measurement/wav/read";
import { measureShow } from "../../../lib/study/measure";
import { readShow } from "../../../lib/study/read-show";
import { readVenue } from "../../../lib/venue/file/read";
import { startSession } from "../../../scripts/record/session";
import { standIn } from "./stand-in";

const venueFile = path.join(__dirname, "..", "..", "..", "data", "venues", "harbour-theatre.json");
const venue = readVenue(readFileSync(venueFile, "utf8"), "venue.json");
const positions = ["row A", "row H", "row T"];

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), "evenground-session-"));
  copyFileSync(venueFile, path.join(folder, "venue.json"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const begin = ({ microphones = 3, names = positions, moved = [] as string[] } = {}) => {
  const setting = { inputs: microphones + 1, outputs: 2, rate: 16_000 };
  const recorder = standIn(venue, [...names, ...moved], setting);
  const session = startSession(recorder, {
    folder,
    setting,
    venue: { file: "venue.json", venue },
    reference: 1,
    microphones: Array.from({ length: microphones }, (_, i) => i + 2),
    positions: names,
    seconds: 8,
    name: "A Friday",
  });
  return { recorder, session };
};
const names = () =>
  readdirSync(folder)
    .filter((name) => name.endsWith(".wav"))
    .sort();

describe("the level", () => {
  it("begins with nothing, and no take plays before a person has chosen one", () => {
    const { recorder, session } = begin();
    expect(session.state().level).toMatchObject({ chosen_db: null, playing: false });
    expect(() => session.take("mains")).toThrow(/no level is chosen yet: play the signal quietly first/);
    expect(recorder.orders).toEqual([]);
  });

  it("is what was asked for and no more, in every take", () => {
    const { recorder, session } = begin();
    session.play(-50);
    session.play(-40);
    session.quiet();
    session.take("match");
    session.take("mains");
    const sounds = recorder.orders.filter((order) => order.do === "take" || order.do === "play");
    // Files hold the signal at −20 dB.
    expect(sounds.map((order) => 20 * Math.log10((order as { gain: number }).gain))).toEqual(
      [-30, -20, -20].map((db) => expect.closeTo(db, 0)),
    );
  });

  it.each([0, -3, 12, Number.NaN, "loud", undefined])("of %s dB is refused", (db) => {
    const { recorder, session } = begin();
    expect(() => session.play(db)).toThrow(/the level is .*, expected −90 to/);
    expect(recorder.orders).toEqual([]);
  });
});

describe("takes", () => {
  it("make a show that can be measured, with delays as drawn and the estimate after the second kind", () => {
    const { session } = begin();
    session.play(-30);
    for (const id of ["match", "noise", "mains", "subs", "both"]) {
      expect(session.state().next).toBe(id);
      session.take(id);
      const { last } = session.state();
      expect(last?.reasons).toEqual([]);
      expect(last?.result?.problems ?? []).toEqual([]);
      if (id !== "mains") continue;
      expect(last?.result?.positions.map((p) => p.position)).toEqual(positions);
      // A stand-in hears exactly what is drawn.
      for (const { delay_ms, expected_ms } of last!.result!.positions)
        expect(Math.abs(delay_ms! - expected_ms!)).toBeLessThan(0.2);
      expect(last?.result?.estimate).toBeNull();
    }
    expect(session.state().next).toBeNull();
    expect(session.state().last?.result?.estimate).toMatchObject({ positions: 3 });
    const measured = measureShow(readShow(folder));
    expect(measured.problems).toEqual([]);
    expect(measured.survey?.positions.map(({ id }) => id)).toEqual(positions);
  });

  it("go on position by position where there are fewer microphones", () => {
    const four = [...positions, "mix position"];
    const { session } = begin({ microphones: 2, names: four });
    session.play(-30);
    const ids = session.state().steps.map(({ id }) => id);
    expect(ids.slice(0, -1)).toEqual([
      "match",
      "noise",
      "mains",
      "subs",
      "both",
      "mains-2",
      "subs-2",
      "both-2",
    ]);
    for (const id of ids.slice(0, -1)) session.take(id);
    expect(measureShow(readShow(folder)).survey?.positions.map(({ id }) => id)).toEqual(four);
    const { estimate } = session.state().last!.result!;
    expect(estimate?.positions).toBe(4);
  });

  it("that are refused are put aside with their reason, and are offered again", () => {
    const { recorder, session } = begin();
    session.play(-30);
    session.skip("match");
    session.skip("noise");
    recorder.fault = (channels) => channels[3].fill(0);
    session.take("mains");
    expect(session.state().last).toMatchObject({ id: "mains", accepted: false });
    expect(session.state().last?.reasons[0]).toMatch(/channel 4 is silent/);
    expect(session.state().next).toBe("mains");
    expect(names()).toEqual([]);
    expect(readdirSync(path.join(folder, "refused"))).toEqual(["mains-1.wav"]);
    session.take("mains");
    expect(session.state().last?.accepted).toBe(true);
    expect(names()).toEqual(["mains.wav"]);
  });

  it("that broke off on a full disk leave what was recorded, readable", () => {
    const { recorder, session } = begin();
    session.play(-30);
    recorder.fault = (_, report) =>
      Object.assign(report, { failed: "No space left on device", whole: false });
    session.take("mains");
    expect(session.state().last?.reasons[0]).toMatch(/broke off: No space left/);
    const left = openWav(path.join(folder, "refused", "mains-1.wav"));
    expect(left.frames).toBeGreaterThan(0);
    left.close();
  });

  it("are kept over an end and a new start, with the estimate", () => {
    const first = begin();
    first.session.play(-30);
    for (const id of ["match", "noise", "mains", "subs"]) first.session.take(id);
    const { estimate } = first.session.state().last!.result!;
    const second = begin();
    expect(second.session.state().next).toBe("both");
    second.session.play(-30);
    second.session.take("both");
    expect(second.session.state().last?.before).toEqual(estimate);
  });

  it("that repeat one join it, and are averaged with it by the study", () => {
    const { session } = begin();
    session.play(-30);
    for (const id of ["noise", "mains", "mains", "subs"]) session.take(id);
    expect(names()).toEqual(["mains-take-2.wav", "mains.wav", "noise.wav", "subs.wav"]);
    const [step] = session.state().steps.filter(({ id }) => id === "mains");
    expect(step.takes.map(({ id }) => id)).toEqual(["mains", "mains-take-2"]);
    const { warnings, survey } = measureShow(readShow(folder));
    expect(warnings.join("\n")).toMatch(
      /mains at .*are the average of 2 takes, "mains.wav" and "mains-take-2.wav"/,
    );
    expect(survey?.positions.map(({ id }) => id)).toEqual(positions);
  });

  it("that differ from the one they repeat are told at once, with the advice to repeat, and can be left out", () => {
    const { recorder, session } = begin();
    session.play(-30);
    for (const id of ["noise", "mains", "subs"]) session.take(id);
    const { estimate } = session.state().last!.result!;
    recorder.fault = (channels) => {
      channels[2] = channels[2].map((x) => 0.5 * x);
    };
    session.take("mains");
    const { result } = session.state().last!;
    const changes = result!.positions.map(({ repeat_db }) => repeat_db);
    // Half the amplitude is 20 lg 0.5.
    expect(changes).toEqual([0, -6.02, 0].map((db) => expect.closeTo(db, 1)));
    expect(result!.doubts.join("\n")).toMatch(
      /is left out of mains at "row H": their level differs by 6\.0 dB/,
    );
    session.leaveOut("mains-take-2");
    expect(names()).toEqual(["mains.wav", "noise.wav", "subs.wav"]);
    expect(readShow(folder).file.takes).toHaveLength(2);
    session.take("both");
    expect(session.state().last?.before?.offset_db).toBeCloseTo(estimate!.offset_db, 9);
  });

  it("of a match and of the noise floor are replaced by those that repeat them", () => {
    const { session } = begin();
    session.play(-30);
    for (const id of ["match", "noise", "mains", "match"]) session.take(id);
    expect(names()).toEqual(["mains.wav", "match-take-2.wav", "noise.wav"]);
    const { file } = readShow(folder);
    expect(file.microphoneMatch?.recording).toBe("match-take-2.wav");
  });

  it("at several points around the mix position are proposed, asked for, and count as one position", () => {
    const all = ["row A", "row H", "mix position"];
    const { session } = begin({ names: all, moved: ["mix position/2", "mix position/3"] });
    expect(session.state().points.map(({ count, proposed }) => [count, proposed])).toEqual([
      [1, 1],
      [1, 1],
      [1, 3],
    ]);
    session.points("mix position", 3);
    const where = session.state().steps.find(({ id }) => id === "mains-2")?.where;
    expect(where).toEqual({ "mix position/2": 2, "mix position/3": 3 });
    session.play(-30);
    for (const id of ["noise", "mains", "subs", "mains-2", "subs-2"]) session.take(id);
    const { estimate, positions: heard } = session.state().last!.result!;
    expect(heard.map(({ position }) => position)).toEqual(["mix position/2", "mix position/3"]);
    expect(estimate?.positions).toBe(3);
    const { survey, warnings } = measureShow(readShow(folder));
    expect(survey?.positions.map(({ id }) => id)).toEqual(all);
    expect(warnings.join("\n")).toMatch(/position "mix position" is the average by power of 3 points/);
  });

  it("carry the air that was told once, and can be changed each", () => {
    const { session } = begin();
    session.air({ temperature: 24, humidity: 40 });
    session.play(-30);
    for (const id of ["noise", "mains"]) session.take(id);
    session.air({ temperature: 18 });
    session.take("subs");
    session.air({ temperature: 23.5, humidity: null }, "mains");
    const told = readShow(folder).file.takes.map(
      (take) => "recording" in take && [take.temperature, take.humidity],
    );
    expect(told).toEqual([
      [23.5, undefined],
      [18, undefined],
    ]);
    expect(() => session.air({ temperature: 80 })).toThrow(/temperature is 80, expected -20 to 50/);
  });

  it("that a killed recording left are put aside at the next start and can be read", () => {
    const { session } = begin();
    session.play(-30);
    session.take("mains");
    copyFileSync(path.join(folder, "mains.wav"), path.join(folder, "subs.wav.part"));
    const { notes } = begin().session.state();
    expect(notes[0]).toMatch(/subs\.wav\.part is what a broken recording left; .* refused.subs-1\.wav/);
    openWav(path.join(folder, "refused", "subs-1.wav")).close();
  });
});

describe("a walk", () => {
  const all = ["row A", "row D", "row H", "row L", "row T"];
  const walked = (
    session: ReturnType<typeof begin>["session"],
    recorder: ReturnType<typeof begin>["recorder"],
  ) => {
    session.play(-30);
    session.take("walk");
    for (const { at } of recorder.passes) {
      recorder.passed(at);
      session.mark(undefined);
    }
    session.quiet();
    return session.state().last!;
  };

  it("that a person ends is whole, and says how levels fall on the way", () => {
    const { session, recorder } = begin({ names: all });
    const { accepted, walk } = walked(session, recorder);
    expect(accepted).toBe(true);
    const { points, reasons } = walk!.result!;
    const [first, last] = [points[0], points.at(-1)!];
    expect(first.point.x).toBeCloseTo(venue.positions.find(({ id }) => id === "row A")!.point.x, 6);
    // Spherical spreading over the earliest flight, the delay of the fills included, as the stand-in has it.
    const flight = ({ x, y, z }: { x: number; y: number; z: number }) =>
      Math.min(
        ...venue.sources
          .filter(({ group }) => group !== "subs")
          .map(({ point, delay }) => Math.hypot(point.x - x, point.y - y, point.z - z) / 343 + delay),
      );
    const falls = 20 * Math.log10(flight(first.point) / flight(last.point));
    expect(Math.abs(last.mid_db - first.mid_db - falls)).toBeLessThan(0.7);
    expect(reasons.at(-1)).toMatch(/The best place to stop is .* from the stage/);
  });

  it("belongs to the show, beside whose microphones it is judged", () => {
    const { session, recorder } = begin({ names: all.slice(0, 3) });
    session.play(-30);
    for (const id of ["noise", "mains", "subs"]) session.take(id);
    const { walk } = walked(session, recorder);
    expect(walk?.result?.by).toBe("the microphones at 3 positions");
    const { walks } = readShow(folder).file;
    expect(walks).toHaveLength(1);
    expect(walks![0].marks.map(({ position }) => position)).toEqual(all.slice(0, 3));
    expect(measureShow(readShow(folder)).walks[0].points.length).toBeGreaterThan(5);
  });

  it("without two marks is refused", () => {
    const { session } = begin();
    session.play(-30);
    session.take("walk");
    session.quiet();
    expect(session.state().last?.reasons[0]).toMatch(/fewer than two positions were marked/);
  });
});

describe("the show file", () => {
  it("that was edited by hand is left as it is, and the new one comes beside it", () => {
    const { session } = begin();
    session.play(-30);
    session.take("mains");
    const edited = readFileSync(path.join(folder, "show.json"), "utf8").replace("A Friday", "A Saturday");
    writeFileSync(path.join(folder, "show.json"), edited);
    session.take("subs");
    expect(readFileSync(path.join(folder, "show.json"), "utf8")).toBe(edited);
    expect(existsSync(path.join(folder, "show (new).json"))).toBe(true);
    expect(session.state().showFile).toBe("show (new).json");
  });
});

describe("an interface that is gone", () => {
  it("is told, and what sounds is no longer said to", () => {
    const { recorder, session } = begin();
    session.play(-50);
    recorder.tell({ event: "device-gone" });
    expect(session.state().level.playing).toBe(false);
    expect(session.state().notes.at(-1)).toMatch(/interface has stopped: check its cable/);
  });
});
