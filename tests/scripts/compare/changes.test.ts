/** What changed is told, and what did not is not: recordings whose changes are planted. */
import path from "node:path";
import { describe, expect, it } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { measureShow } from "../../../lib/study/measure";
import { readShow } from "../../../lib/study/read-show";
import type { Survey } from "../../../lib/survey/survey";
import { changesBetween, inSentences } from "../../../scripts/compare/changes";

const demo = path.join(__dirname, "..", "..", "..", "data", "shows", "harbour-theatre");
const survey = measureShow(readShow(demo)).survey!;

const louder = (response: Response, db: number): Response => {
  const g = 10 ** (db / 20);
  return {
    ...response,
    re: response.re.map((x) => g * x),
    im: response.im.map((x) => g * x),
    ...(response.diffuse && { diffuse: response.diffuse.map((x) => g * g * x) }),
    ...(response.powerError && { powerError: response.powerError.map((x) => g * g * x) }),
  };
};

describe("two measurements", () => {
  it("of one and the same differ in nothing", () => {
    const found = changesBetween(survey, survey);
    expect(found.changes.every(({ change_db, real }) => change_db === 0 && !real)).toBe(true);
    expect(inSentences(found)).toEqual(["Nothing has changed by more than the error of measurement."]);
  });

  it("with the subs raised by 3 dB say so, at each position, and of the subs alone", () => {
    const after: Survey = { ...survey, subs: survey.subs.map((response) => louder(response, 3)) };
    const { changes } = changesBetween(survey, after);
    for (const { quantity, change_db, real } of changes) {
      if (quantity === "subs, low band") expect([change_db, real]).toEqual([expect.closeTo(3, 9), true]);
      if (quantity === "mains, mid band") expect([change_db, real]).toEqual([0, false]);
    }
    expect(inSentences({ changes, only: [] })[0]).toMatch(
      /At all 6 positions alike, subs, low band: \+3\.0 to \+3\.0 dB, as by a change of gain/,
    );
  });

  it("with one loudspeaker lower at one position name that position", () => {
    const mains = survey.mains.map((response, i) => (i === 2 ? louder(response, -4) : response));
    const [first] = inSentences(changesBetween(survey, { ...survey, mains }));
    expect(first).toMatch(/^row H, .*−4\.0 dB, [\d.]+ times the error|^row H, low band over mid band: \+/);
  });

  it("name the positions that one of them lacks, and refuse where none is common", () => {
    const renamed = (from: number): Survey => ({
      ...survey,
      positions: survey.positions.map((p, i) => (i >= from ? { ...p, id: `${p.id}, again` } : p)),
    });
    expect(changesBetween(survey, renamed(5)).only).toEqual(["mix position", "mix position, again"]);
    expect(() => changesBetween(survey, renamed(0))).toThrow(/no position in common/);
  });
});

describe("the error of a change", () => {
  it("is more for a shorter recording: by the root of the time", () => {
    const show = readShow(demo);
    const part = (to: number): Survey =>
      measureShow({
        ...show,
        file: { ...show.file, takes: show.file.takes.map((take) => ({ ...take, from: 0, to })) },
      }).survey!;
    const errorOf = (one: Survey) =>
      changesBetween(one, one)
        .changes.filter(({ quantity }) => quantity === "subs, low band")
        .map(({ error_db }) => error_db!);
    const [long, short] = [errorOf(part(8)), errorOf(part(2))];
    expect(short.filter((error, i) => error > long[i]).length).toBeGreaterThanOrEqual(5);
  });

  it("holds the differences of two halves of one recording, at nineteen in twenty or so", () => {
    const show = readShow(demo);
    const half = (from: number): Survey =>
      measureShow({
        ...show,
        file: { ...show.file, takes: show.file.takes.map((take) => ({ ...take, from, to: from + 4 })) },
      }).survey!;
    const { changes } = changesBetween(half(0), half(4));
    expect(changes.filter(({ real }) => real).length).toBeLessThanOrEqual(0.2 * changes.length);
  });
});
