/**
 * What the model says of the invented venues, against what a practitioner would expect to find there.
 * Every range here is common practice, no source; the quarter-wave frequencies are c/4d.
 */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import type { Response } from "../../lib/acoustics/response";
import { power } from "../../lib/acoustics/response";
import { modelSurvey } from "../../lib/field/model-survey";
import type { Position } from "../../lib/survey/survey";
import { closed } from "../../lib/venue/closed";
import { readVenue } from "../../lib/venue/file/read";
import { namedPositions, seats } from "../../lib/venue/seats";
import type { Venue } from "../../lib/venue/venue";

const folder = join(__dirname, "../../data/venues");
const names = readdirSync(folder)
  .filter((name) => name.endsWith(".json"))
  .map((name) => name.replace(".json", ""));
const venues = new Map(
  names.map((name) => [name, readVenue(readFileSync(join(folder, `${name}.json`), "utf8"), name)] as const),
);
const venue = (name: string): Venue => {
  const found = venues.get(name);
  if (!found) throw new Error(`no venue ${name}`);
  return found;
};

const LOWS = logGrid(30, 80, 36);
const MIDS = logGrid(250, 4000, 40);

/** Mean level over the survey's frequencies, dB. */
function level(response: Response): number {
  const p = power(response);
  return 10 * Math.log10(p.reduce((sum, x) => sum + x, 0) / p.length / 4e-10);
}

const mean = (levels: readonly number[]) =>
  10 * Math.log10(levels.reduce((sum, x) => sum + 10 ** (x / 10), 0) / levels.length);

/** Mean level of the mains in each row of an area, front to back. */
function rows(v: Venue, area: string): number[] {
  const there = seats(v, { count: 40 }).filter((p) => p.area === area);
  const { mains } = modelSurvey(v, there, { frequency: MIDS });
  const byRow = new Map<string, number[]>();
  there.forEach((p, i) => {
    const row = p.id.slice(area.length + 1).split("-")[0];
    byRow.set(row, [...(byRow.get(row) ?? []), level(mains[i])]);
  });
  return [...byRow.values()].map(mean);
}

/** The first six places: a line of microphones from the first row to the last. */
const line = (v: Venue): Position[] => namedPositions(v).slice(0, 6);

const nearestSub = (v: Venue, { point }: Position) =>
  Math.min(
    ...v.sources
      .filter((s) => s.group === "subs")
      .map((s) => Math.hypot(s.point.x - point.x, s.point.y - point.y, s.point.z - point.z)),
  );

describe("mains", () => {
  test("stay within 5 dB from the first row to the last where the hang is well aimed, 6 dB on the meadow of 84 m", () => {
    const areas = {
      "harbour-theatre": "stalls",
      "marrowby-long-ballroom": "tables",
      "estrum-wide-room": "seats",
      "vollhaven-arena": "floor",
      "ansgrith-church": "nave",
      "pennavoe-assembly-hall": "hall",
      "ulverow-meadow": "meadow",
    };
    for (const [name, area] of Object.entries(areas)) {
      const levels = rows(venue(name), area);
      const spread = Math.max(...levels) - Math.min(...levels);
      const most = name === "ulverow-meadow" ? 6 : 5;
      expect(spread, `${name}: ${levels.map((x) => x.toFixed(1)).join(" ")}`).toBeLessThan(most);
    }
  });
});

describe("subs on the ground", () => {
  test("drop by 12 to 20 dB from a near first row to the last, where the room does not fill in", () => {
    for (const name of ["harbour-theatre", "ulverow-meadow"]) {
      const v = venue(name);
      const mics = line(v);
      const survey = modelSurvey(v, mics, { frequency: LOWS });
      const drop = level(survey.subs[0]) - level(survey.subs[5]);
      expect(drop, name).toBeGreaterThan(12);
      expect(drop, name).toBeLessThan(20);
      // never more than distance alone takes from one cabinet
      expect(drop, name).toBeLessThan(20 * Math.log10(nearestSub(v, mics[5]) / nearestSub(v, mics[0])));
    }
  });

  test("drop by much more than the mains do", () => {
    for (const name of ["harbour-theatre", "marrowby-long-ballroom", "pennavoe-assembly-hall"]) {
      const v = venue(name);
      const { subs } = modelSurvey(v, line(v), { frequency: LOWS });
      const { mains } = modelSurvey(v, line(v), { frequency: MIDS });
      const lost = level(subs[0]) - level(subs[5]) - (level(mains[0]) - level(mains[5]));
      expect(lost, name).toBeGreaterThan(6);
    }
  });

  test("drop less the more a room reverberates, and in the church by less than half of what distance takes", () => {
    const v = venue("ansgrith-church");
    const mics = line(v);
    const { subs } = modelSurvey(v, mics, { frequency: LOWS });
    const distance = 20 * Math.log10(nearestSub(v, mics[5]) / nearestSub(v, mics[0]));
    expect(level(subs[0]) - level(subs[5])).toBeLessThan(distance / 2);
    expect(level(subs[0]) - level(subs[5])).toBeGreaterThan(3);
  });

  test("stand about 9 to 11 times as far from the last row of the theatre as from the first", () => {
    const v = venue("harbour-theatre");
    const ratio = nearestSub(v, line(v)[5]) / nearestSub(v, line(v)[0]);
    expect(ratio).toBeGreaterThan(8.5);
    expect(ratio).toBeLessThan(11);
  });
});

/** Deepest point of what some part of the venue does to the subs, within a range of frequencies. */
function dips(v: Venue, without: Venue, from: number, to: number): { hertz: number; depth: number }[] {
  const frequency = logGrid(from, to, 48);
  const options = { frequency, diffuse: "none" } as const;
  const a = modelSurvey(v, line(v), options).subs.map(power);
  const b = modelSurvey(without, line(v), options).subs.map(power);
  return a.map((p, i) => {
    const change = [...p].map((x, k) => 10 * Math.log10(x / b[i][k]));
    const depth = Math.min(...change);
    return { hertz: frequency[change.indexOf(depth)], depth };
  });
}

describe("dips", () => {
  test("come from the wall 1.65 m behind the fronts of the theatre's subs near 40 Hz, in most rows: they sound from half a metre ahead", () => {
    const v = venue("harbour-theatre");
    const sub = v.sources.find((s) => s.group === "subs");
    const wall = v.boundaries.find((b) => b.name === "wall behind the subs, left");
    expect((sub?.point.x ?? 0) - (wall?.corners[0].x ?? 0)).toBeCloseTo(1.65, 9);
    const bare = { ...v, boundaries: v.boundaries.filter((b) => !b.name.startsWith("wall behind")) };
    // a third of an octave to both sides: rows off the axis see a path that is shorter by the cosine, and two stacks
    const found = dips(v, bare, 40 / 1.26, 40 * 1.26);
    expect(found.filter(({ depth }) => depth < -6).length, JSON.stringify(found)).toBeGreaterThanOrEqual(5);
  });

  test("come from the cavity under the hall's stage near its three quarter waves, at one frequency in most rows", () => {
    const v = venue("pennavoe-assembly-hall");
    const [cavity] = v.cavities;
    expect(cavity.depth).toBe(3.8);
    // 3c/4L = 67.7 Hz for the bare depth; the air that moves with it before the opening, up to its height of 1.2 m, makes it longer
    const found = dips(v, closed(v), (3 * 343.2) / (4 * 5), (3 * 343.2) / (4 * 3.8));
    const deep = found.filter(({ depth }) => depth < -8);
    expect(deep.length, JSON.stringify(found)).toBeGreaterThanOrEqual(5);
    const at = deep.map(({ hertz }) => hertz);
    expect(Math.max(...at) / Math.min(...at)).toBeLessThan(1.12);
  });
});

describe("every venue", () => {
  test("decays in the lows as its kind does: 0.4 to 1.3 s where bands play, about 3 s in the arena, 4 to 8 s in the church", () => {
    const range: Record<string, [number, number]> = {
      "vollhaven-arena": [2, 3.5],
      "ansgrith-church": [4, 8],
    };
    for (const name of names) {
      const { room } = venue(name);
      if (!room) continue;
      const [least, most] = range[name] ?? [0.4, 1.3];
      const at63 = room.reverberationTime.value[room.reverberationTime.frequency.indexOf(63)];
      expect(at63, name).toBeGreaterThan(least);
      expect(at63, name).toBeLessThan(most);
    }
    expect(names.filter((name) => !venue(name).room)).toEqual(["ulverow-meadow"]);
  });

  test("has at the mix position a show's level, the subs 1.5 to 15 dB over the mains per third octave", () => {
    for (const name of names) {
      const v = venue(name);
      const mix = namedPositions(v).filter((p) => p.id === "mix position");
      expect(mix, name).toHaveLength(1);
      const mains = level(modelSurvey(v, mix, { frequency: MIDS }).mains[0]);
      const subs = level(modelSurvey(v, mix, { frequency: LOWS }).subs[0]);
      expect(mains, name).toBeGreaterThan(85);
      expect(mains, name).toBeLessThan(105);
      expect(subs - mains, `${name}: mains ${mains.toFixed(1)}, subs ${subs.toFixed(1)}`).toBeGreaterThan(
        1.5,
      );
      expect(subs - mains, name).toBeLessThan(15);
    }
  });
});
