import path from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { kinds } from "../../../lib/lesson/panels/kinds";
import type { MicrophonesContent } from "../../../lib/lesson/panels/microphones";
import { readShow } from "../../../lib/study/read-show";
import { runStudy, type Study } from "../../../lib/study/study";

const { microphones } = kinds;

describe("the panel of microphones", () => {
  let study: Study;
  let content: MicrophonesContent;
  beforeAll(() => {
    study = runStudy(readShow(path.resolve(__dirname, "../../../data/shows/harbour-theatre")), {
      seatCount: 60,
    });
    content = microphones.reduce({ study });
  }, 60_000);

  it("ends with the study's own answer, and names each microphone that is added", () => {
    const { offset_db, within3dB_fraction } = study.answer.intervals;
    const last = content.microphones.length;
    expect(last).toBe(study.measurement.survey?.positions.length);
    expect(content.steps[last].offset).toEqual([offset_db.value, offset_db.lower, offset_db.upper]);
    expect(content.steps[last].within3dB[0]).toBe(within3dB_fraction.value);
    const at = microphones.prepare(content);
    expect(at({ microphones: 0 }).words).toMatch(/^By the drawing alone: subs [+−]/);
    content.microphones.forEach(({ id }, i) => {
      const { words, figures } = at({ microphones: i + 1 });
      expect(words).toContain(` at ${id}: subs`);
      expect(words).not.toMatch(/NaN|undefined/);
      expect(figures.map((f) => f.title)).toHaveLength(2);
    });
  });

  it("grows surer: half as wide an interval with all of them as with none, and each holds its own value", () => {
    const width = ([, lower, upper]: readonly number[]) => upper - lower;
    const widths = content.steps.map(({ offset }) => width(offset));
    expect(widths[widths.length - 1]).toBeLessThan(0.5 * widths[0]);
    for (const { offset, within3dB } of content.steps)
      for (const [value, lower, upper] of [offset, within3dB])
        expect(lower <= value && value <= upper).toBe(true);
  });

  it("says so where nothing was measured", () => {
    const { modelAtMicrophones: _, ...rest } = study;
    expect(() => microphones.reduce({ study: rest })).toThrow(/nothing was measured/);
  });
});
