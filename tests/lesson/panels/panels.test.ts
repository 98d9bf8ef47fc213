import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { balance } from "../../../lib/decision/balance/balance";
import { modelSurvey } from "../../../lib/field/model-survey";
import { unpack } from "../../../lib/lesson/output/pack";
import { panel } from "../../../lib/lesson/panels";
import { kinds } from "../../../lib/lesson/panels/kinds";
import type { PanelContent } from "../../../lib/lesson/panels/panel";
import type { SubLevelContent } from "../../../lib/lesson/panels/sub-level";
import { seats } from "../../../lib/venue/seats";
import { hall, hallSeats, hallSurvey } from "../hall";

/** The data as the page finds them. */
function inPage(html: string): PanelContent<SubLevelContent> {
  const [, text] = /<script type="application\/json">([\s\S]*?)<\/script>/.exec(html) ?? [];
  return unpack(text);
}

/** The deviations that a view draws over distance, dB. */
function drawn(view: ReturnType<ReturnType<(typeof kinds)["sub level"]["prepare"]>>): number[] {
  const [trace] = view.figures[view.figures.length - 1].data;
  return (trace.marker as { color: number[] }).color;
}

describe('the panel "sub level"', () => {
  const survey = hallSurvey(hallSeats(4), logGrid(20, 16000, 60));

  it.each([-12, -0.5, 0, 7.5])(
    "shows at %s dB what the library answers for the same survey, within the single precision it travels in",
    (offset) => {
      const { data } = inPage(panel("sub level", { survey }).html);
      const shown = drawn(kinds["sub level"].prepare(data)({ offset }));
      const expected = balance(survey, { offset }).positions.map((p) => p.deviation_db);
      for (const [i, deviation] of expected.entries())
        expect(Math.abs(shown[i] - deviation)).toBeLessThan(1e-4);
    },
  );

  it("models a venue's seats where it is given no survey", () => {
    const { data } = inPage(panel("sub level", { venue: hall, count: 40 }).html);
    const shown = drawn(kinds["sub level"].prepare(data)({ offset: 3 }));
    const model = modelSurvey(hall, seats(hall, { count: 40 }));
    const expected = balance(model, { offset: 3 }).positions.map((p) => p.deviation_db);
    expect(shown).toHaveLength(expected.length);
    for (const [i, deviation] of expected.entries())
      expect(Math.abs(shown[i] - deviation)).toBeLessThan(0.01);
  });

  it("says in words how many of 100 people are within 3 dB", () => {
    const { words } = kinds["sub level"].prepare(kinds["sub level"].reduce({ survey }))({ offset: 2 });
    const fraction = Math.round(balance(survey, { offset: 2 }).audience.within3dB_fraction * 100);
    expect(words).toContain(`${fraction} of 100 people`);
    expect(words).not.toMatch(/NaN|undefined/);
  });

  it("sends the page some hundred bytes a seat, not its responses", () => {
    const many = hallSurvey(hallSeats(1), logGrid(20, 16000, 60));
    const { html } = panel("sub level", { survey: many, venue: hall });
    expect(html.length / many.positions.length).toBeLessThan(200);
  });

  it("starts a slider where it is told, and refuses a place beyond its ends or a slider that is not there", () => {
    const { sliders } = inPage(panel("sub level", { survey }, { offset: -6 }).html);
    expect(sliders[0].value).toBe(-6);
    expect(() => panel("sub level", { survey }, { offset: 40 })).toThrow(
      /"offset" is to start at 40, expected -15 to 15 dB/,
    );
    expect(() => panel("sub level", { survey }, { tilt: 1 })).toThrow(/no slider "tilt"/);
  });

  it("tells under the cell what its data lack", () => {
    expect(() => panel("sub level", {})).toThrow(/needs a survey or a venue/);
    expect(() => panel("bass" as "sub level", {})).toThrow(/no panel "bass", expected "sub level"/);
  });
});
