import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { alignment } from "../../../lib/decision/alignment/alignment";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { rankReferences } from "../../../lib/decision/reference/rank";
import { kinds } from "../../../lib/lesson/panels/kinds";
import { hall, hallSeats, hallSurvey } from "../hall";

const survey = hallSurvey(hallSeats(4), logGrid(20, 16000, 240));

describe('the panel "crossover"', () => {
  it("says of the audience what the alignment says of the same setting, within the precision it travels in", () => {
    const band = [60, 120] as const;
    const at = survey.positions[0].id;
    const { current } = alignment(survey, { band });
    const content = kinds.crossover.reduce({ survey, venue: hall, at, band });
    const { words } = kinds.crossover.prepare(content)({ delay: 0, reversed: 0, offset: 0 });
    const [, said] = /and (\d+\.\d) dB over the audience/.exec(words) ?? [];
    expect(Math.abs(Number(said) - current.audienceLoss_db)).toBeLessThan(0.06);
  });

  it("comes round again after reversal and reversal", () => {
    const content = kinds.crossover.reduce({ survey, venue: hall });
    const view = kinds.crossover.prepare(content);
    const once = view({ delay: 2, reversed: 0, offset: 3 }).words;
    expect(view({ delay: 2, reversed: 1, offset: 3 }).words).not.toBe(once);
    expect(view({ delay: 2, reversed: 0, offset: 3 }).words).toBe(once);
  });
});

describe('the panel "mix position"', () => {
  it("says the bias that the ranking gives the same place at the same offset", () => {
    const { offset_db } = levelOffset(survey);
    const offset = Math.round(2 * offset_db) / 2;
    const candidates = hallSurvey(hallSeats(5), survey.frequency);
    const ranking = rankReferences(survey, candidates, { offset });
    const position = ranking.positions[ranking.positions.length - 1];
    const content = kinds["mix position"].reduce({ venue: hall, survey, candidates, offset });
    const { words } = kinds["mix position"].prepare(content)({
      back: position.point.x,
      left: position.point.y,
      offset,
    });
    const [, sign, said] = /this position ([+−]?)(\d+\.\d) dB/.exec(words) ?? [];
    expect(Math.abs((sign === "−" ? -1 : 1) * Number(said) - position.bias_db)).toBeLessThan(0.06);
  });
});

describe('the panel "certainty"', () => {
  const width = (values: { ratio: number; averages: number }) => {
    const { words } = kinds.certainty.prepare({ seed: 3 })({ ...values, delay: 5, level: -5 });
    return Number(/about ±(\d+\.\d) dB/.exec(words)?.[1]);
  };

  it("gives the coherence of a signal-to-noise ratio (Bendat and Piersol: R/(1 + R))", () => {
    const { words } = kinds.certainty.prepare({ seed: 3 })({ ratio: 0, averages: 50, delay: 5, level: -5 });
    expect(words).toContain("Coherence 0.50");
  });

  it("halves the band with four times the averages", () => {
    const ratio = width({ ratio: 6, averages: 25 }) / width({ ratio: 6, averages: 100 });
    expect(Math.abs(ratio - 2)).toBeLessThan(0.3); // the words round to 0.1 dB
  });
});
