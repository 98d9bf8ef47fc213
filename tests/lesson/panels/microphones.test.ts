import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { kinds } from "../../../lib/lesson/panels/kinds";
import { answerOf } from "../../../lib/study/answer";
import type { Study } from "../../../lib/study/study";
import { partOfSurvey } from "../../../lib/survey/part";
import { hall, hallSeats, hallSurvey } from "../hall";

const { microphones } = kinds;

/** The hall with its subs 4 dB louder than drawn, heard at some of its seats. */
const drawn = hallSurvey(hallSeats(2), logGrid(20, 16000, 120));
const some = partOfSurvey(drawn, [3, 20, 41, 60]);
const atThem = { ...some, positions: some.positions.map((p, i) => ({ ...p, id: `row ${"ABCD"[i]}` })) };
const louder = 10 ** (4 / 20);
const measured = {
  ...atThem,
  subs: atThem.subs.map((r) => ({ ...r, re: r.re.map((x) => louder * x), im: r.im.map((x) => louder * x) })),
};
const answer = answerOf(hall, drawn, undefined, { measured, model: atThem }, {});
const study = {
  show: { venue: hall, file: {} },
  measurement: { survey: measured },
  modelAtMicrophones: atThem,
  model: { survey: drawn },
  answer,
} as unknown as Study;

describe("the panel of microphones", () => {
  const content = microphones.reduce({ study });
  const at = microphones.prepare(content);
  const last = content.microphones.length;

  it("ends with the study's own answer, and names each microphone that is added", () => {
    const { offset_db, within3dB_fraction } = answer.intervals;
    expect(last).toBe(measured.positions.length);
    expect(content.steps[last].offset).toEqual([offset_db.value, offset_db.lower, offset_db.upper]);
    expect(content.steps[last].within3dB[0]).toBe(within3dB_fraction.value);
    expect(at({ microphones: 0 }).words).toMatch(/^By the drawing alone: subs [+−]/);
    content.microphones.forEach(({ id }, i) => {
      const { words, figures } = at({ microphones: i + 1 });
      expect(words).toContain(` at ${id}: subs`);
      expect(words).not.toMatch(/NaN|undefined/);
      const [map, level] = figures.map((f) => JSON.stringify(f));
      expect(map).toContain(id);
      expect(level.match(/microphones: /g)?.length).toBeGreaterThan(i + 1);
    });
  });

  it("hears that the subs are louder than drawn, and grows surer", () => {
    const [none, all] = [content.steps[0].offset, content.steps[last].offset];
    expect(all[0]).toBeLessThan(none[0] - 2);
    expect(all[2] - all[1]).toBeLessThan(0.75 * (none[2] - none[1]));
    for (const { offset, within3dB } of content.steps)
      for (const [value, lower, upper] of [offset, within3dB])
        expect(lower <= value && value <= upper).toBe(true);
  });

  it("says so where nothing was measured", () => {
    const { modelAtMicrophones: _, ...rest } = study;
    expect(() => microphones.reduce({ study: rest })).toThrow(/nothing was measured/);
  });
});
