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

const begin = ({ microphones = 3, names = positions } = {}) => {
  const setting = { inputs: microphones + 1, outputs: 2, rate: 16_000 };
  const recorder = standIn(venue, names, setting);
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
    expect(ids).toEqual(["match", "noise", "mains-1", "subs-1", "both-1", "mains-2", "subs-2", "both-2"]);
    for (const id of ids) session.take(id);
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
