import { describe, expect, it } from "vitest";
import type { Response } from "../../lib/acoustics/response";
import { alignment } from "../../lib/decision/alignment/alignment";
import { crossoverSum } from "../../lib/decision/alignment/crossover-sum";
import { bandPowers } from "../../lib/decision/balance/band-powers";
import { mainsWithFills } from "../../lib/survey/mains-with-fills";
import type { Survey } from "../../lib/survey/survey";

const frequency = Float64Array.of(50, 63, 80, 100, 125);
const flat = (value: number) => new Float64Array(frequency.length).fill(value);
const response = (re: number, im: number, more: Partial<Response> = {}): Response => ({
  frequency,
  re: flat(re),
  im: flat(im),
  ...more,
});
const surveyOf = (mains: Response, fills: Response, subs = response(1, 0)): Survey => ({
  name: "by hand",
  quantity: "ratio",
  frequency,
  positions: [{ id: "a", point: { x: 1, y: 0, z: 1 }, area: "stalls", people: 1 }],
  mains: [mains],
  subs: [subs],
  fills: [fills],
});

// Worked by hand: mains 3 + 0j, fills 0 + 4j. In phase relation they make 3 + 4j, power 25, as 3² + 4² do.
// Fills of −1 + 0j leave 2 + 0j, power 4; without their phase 3² + 1² = 10.
describe("mains with fills", () => {
  it("add as complex numbers where both have a phase, and what is diffuse by power", () => {
    const sum = mainsWithFills(surveyOf(response(3, 0, { diffuse: flat(2) }), response(-1, 0)), 0);
    expect(sum).toMatchObject({ re: flat(2), im: flat(0), diffuse: flat(2) });
    expect(sum.coherence).toBeUndefined();
    expect(mainsWithFills(surveyOf(response(3, 0), response(0, 4, { diffuse: flat(5) })), 0)).toMatchObject({
      re: flat(3),
      im: flat(4),
      diffuse: flat(5),
    });
  });

  it("add by power where the fills have no phase, and the mains keep theirs", () => {
    const sum = mainsWithFills(surveyOf(response(3, 0), response(1, 0, { magnitudeOnly: true })), 0);
    expect(sum).toMatchObject({ re: flat(3), im: flat(0), diffuse: flat(1) });
    expect(sum.magnitudeOnly).toBeUndefined();
  });

  it("add by power where the mains have no phase, and the sum has none either", () => {
    const sum = mainsWithFills(surveyOf(response(3, 0, { magnitudeOnly: true }), response(0, 4)), 0);
    expect(sum).toMatchObject({ re: flat(3), im: flat(0), diffuse: flat(16), magnitudeOnly: true });
  });

  it("carry the noise of both: |3|² at 0.9 has 1 beside it, |1|² at 0.5 has 1, so |4|² is coherent by 16/18", () => {
    const mains = response(3, 0, { coherence: flat(0.9), averages: flat(40) });
    const fills = response(1, 0, { coherence: flat(0.5), averages: flat(30) });
    const sum = mainsWithFills(surveyOf(mains, fills), 0);
    expect(sum.coherence![2]).toBeCloseTo(16 / 18, 12);
    expect(sum.averages).toEqual(flat(30));
  });

  it("keep the coherence of the mains beside fills without a phase, however loud: those are no part of what is coherent", () => {
    const mains = response(1, 0, { coherence: flat(0.9), averages: flat(40) });
    const fills = response(Math.sqrt(10), 0, {
      coherence: flat(0.9),
      averages: flat(30),
      magnitudeOnly: true,
    });
    expect(mainsWithFills(surveyOf(mains, fills), 0)).toMatchObject({
      coherence: flat(0.9),
      averages: flat(40),
    });
  });

  it("are nothing to trust where they cancel", () => {
    const coherence = flat(0.9);
    const sum = mainsWithFills(surveyOf(response(1, 0, { coherence }), response(-1, 0, { coherence })), 0);
    expect([...sum.coherence!]).toEqual([0, 0, 0, 0, 0]);
  });

  it("are computed within the ranges asked for, in the arrays given", () => {
    const within = { re: flat(7), im: flat(7), diffuse: flat(7), ranges: [{ start: 1, weight: [0, 0] }] };
    mainsWithFills(surveyOf(response(3, 0), response(0, 4)), 0, within);
    expect([...within.re]).toEqual([7, 3, 3, 7, 7]);
    expect([...within.im]).toEqual([7, 4, 4, 7, 7]);
  });

  it("are the mains themselves where there are no fills", () => {
    const { fills, ...alone } = surveyOf(response(3, 0), response(0, 4));
    expect(fills).toHaveLength(1);
    expect(mainsWithFills(alone, 0)).toBe(alone.mains[0]);
  });
});

describe("what decides hears mains with fills by the one rule", () => {
  const band = { exact: 80, nominal: 80, lower: 71, upper: 90 };
  it.each([
    ["in phase relation", response(-1, 0), 4],
    ["without", response(1, 0, { magnitudeOnly: true }), 10],
  ])("their power in a band, %s", (_, fills, power) => {
    const { mains, cross } = bandPowers(surveyOf(response(3, 0), fills), [band]);
    expect(mains[0]).toBeCloseTo(power, 10);
    // Subs of 1 + 0j: Re(m s*) is 2 with the fills' phase, 3 without it.
    expect(cross[0]).toBeCloseTo(power === 4 ? 2 : 3, 10);
  });

  it("the sum through the crossover: |2 + 1|, 9.54 dB", () => {
    const { sum_db } = crossoverSum(surveyOf(response(3, 0), response(-1, 0)), "a");
    expect(sum_db[2]).toBeCloseTo(20 * Math.log10(3), 10);
  });

  it("alignment goes on where the fills have no phase, and says so", () => {
    const { reasons } = alignment(surveyOf(response(3, 0), response(1, 0, { magnitudeOnly: true })), {
      band: [55, 110],
    });
    expect(reasons.join(" ")).toContain("The fills have no phase at 1 of the positions");
  });
});
