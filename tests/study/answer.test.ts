/** The one answer where what it must be is known: microphones that hear the drawing itself, with one thing changed. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import type { Response } from "../../lib/acoustics/response";
import { modelSurvey } from "../../lib/field/model-survey";
import { answerOf } from "../../lib/study/answer";
import { partOfSurvey } from "../../lib/survey/part";
import type { Survey } from "../../lib/survey/survey";
import { readVenue } from "../../lib/venue/file/read";
import { seats } from "../../lib/venue/seats";

const file = path.join(__dirname, "../../data/venues/ulverow-meadow.json");
const venue = readVenue(readFileSync(file, "utf8"), path.basename(file));
const audience = modelSurvey(venue, seats(venue, { count: 60 }), { lowBand: "paths", order: 0 });
const at = [4, 12, 20, 28, 36, 44, 52].filter((i) => i < audience.positions.length);
const there = partOfSurvey(audience, at);
const microphones: Survey = {
  ...there,
  positions: there.positions.map((p, i) => ({ ...p, id: `microphone ${i}` })),
};

const scaled = (r: Response, gain: number): Response => ({
  ...r,
  re: r.re.map((x) => gain * x),
  im: r.im.map((x) => gain * x),
  ...(r.diffuse && { diffuse: r.diffuse.map((x) => gain ** 2 * x) }),
});
const PASCALS = 25;
const heard = (subs: (r: Response) => Response, all: (r: Response) => Response = (r) => r) => ({
  model: microphones,
  measured: {
    ...microphones,
    quantity: "ratio" as const,
    mains: microphones.mains.map((r) => all(scaled(r, 1 / PASCALS))),
    subs: microphones.subs.map((r) => all(scaled(subs(r), 1 / PASCALS))),
  },
  pascalsPerRatio: PASCALS,
});
const answer = (what?: ReturnType<typeof heard>, settings = {}) =>
  answerOf(venue, audience, undefined, what, settings);

describe("microphones that hear what is drawn", () => {
  const drawn = answer();
  const same = answer(heard((r) => r));

  test("narrow the interval, and change the answer by less than it", () => {
    const width = ({ intervals: { offset_db: i } }: typeof drawn) => i.upper - i.lower;
    expect(width(same)).toBeLessThan(0.7 * width(drawn));
    expect(same.offset.offset_db).toBeGreaterThan(drawn.intervals.offset_db.lower);
    expect(same.offset.offset_db).toBeLessThan(drawn.intervals.offset_db.upper);
    expect([drawn.heard_count, same.heard_count]).toEqual([0, at.length]);
  });

  test("with subs 4 dB louder it asks for 4 dB less", () => {
    const louder = answer(heard((r) => scaled(r, 10 ** (4 / 20))));
    expect(Math.abs(louder.offset.offset_db - same.offset.offset_db + 4)).toBeLessThan(0.7);
  });

  test("every interval holds its answer", () => {
    for (const { value, lower, upper } of [drawn, same].flatMap((a) => Object.values(a.intervals))) {
      expect(lower).toBeLessThanOrEqual(value);
      expect(upper).toBeGreaterThanOrEqual(value);
    }
  });

  test("a calibrator makes its levels those at the microphones; without one there are none", () => {
    expect(same.survey.quantity).toBe("pressure");
    expect(Math.abs(same.offset.frontRow!.levelA_db - drawn.offset.frontRow!.levelA_db)).toBeLessThan(1.5);
    const { pascalsPerRatio: _, ...ratios } = heard((r) => r);
    expect(answer(ratios as ReturnType<typeof heard>).offset.frontRow).toBeNull();
  });

  test("a limit at the front row holds for it", () => {
    const free = same.offset.frontRow!.levelC_db;
    const { offset } = answer(
      heard((r) => r),
      {
        limits: { frontLevel: { level: free - 1, weighting: "C" } },
      },
    );
    expect(offset.limited).toBe(true);
    expect(offset.frontRow!.levelC_db).toBeCloseTo(free - 1, 2);
  });
});

describe("polarity and delay", () => {
  test("subs that were inverted at the microphones are set the other polarity, and then all is as with those that were not", () => {
    const right = answer(heard((r) => r));
    const wrong = answer(heard((r) => scaled(r, -1)));
    expect(wrong.played).toEqual({ polarity: -1, delay_ms: 0 });
    expect(wrong.setting.polarity).toBe(-right.setting.polarity);
    expect(wrong.setting.delay_ms).toBeCloseTo(right.setting.delay_ms, 1);
    expect(right.setting.delay_ms).not.toBe(0);
    expect(wrong.offset.offset_db).toBeCloseTo(right.offset.offset_db, 1);
    expect(wrong.offset.audience.within3dB_fraction).toBeCloseTo(right.offset.audience.within3dB_fraction, 2);
  });

  test("from the drawing alone, or one microphone, neither is changed: the level alone is recommended", () => {
    const unchanged = { polarity: 1, delay_ms: 0 };
    expect(answer().setting).toEqual(unchanged);
    const { measured, model, ...rest } = heard((r) => r);
    const one = { ...rest, measured: partOfSurvey(measured, [0]), model: partOfSurvey(model, [0]) };
    expect(answer(one as ReturnType<typeof heard>).setting).toEqual(unchanged);
  });

  test("without phases nobody knows them: nothing is said, and nothing changed", () => {
    const blind = answer(
      heard(
        (r) => r,
        (r) => ({ ...r, magnitudeOnly: true }),
      ),
    );
    expect(blind.alignment).toBeUndefined();
    expect(blind.setting).toEqual({ polarity: 1, delay_ms: 0 });
  });
});
