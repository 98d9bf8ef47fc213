import { describe, expect, it } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import type { Response } from "../../lib/acoustics/response";
import { measuredSurvey, type PositionMeasurement } from "../../lib/measurement/survey";
import { readTrace } from "../../lib/measurement/trace/read";
import { writeTrace } from "../../lib/measurement/trace/write";
import { at, changed, grid, measured, somePlace, sum } from "./hall";
import { seeded } from "./seeded";

function measurement(seed: number, id = `seat ${seed}`): PositionMeasurement {
  const random = seeded(seed);
  const { mains, subs } = at(somePlace(random));
  const take = (response: Response) => measured(response, 0.01, 16, random);
  const position = { id, point: { x: seed, y: 0, z: 1.2 }, area: "stalls", people: 10 };
  return { position, mains: take(mains), subs: take(subs), both: take(sum(mains, subs)) };
}

describe("measuredSurvey", () => {
  it("keeps positions and responses in order on the frequencies of the first", () => {
    const entries = [measurement(1), measurement(2), measurement(3)];
    const survey = measuredSurvey(entries, { name: "measured in an invented hall" });
    expect(survey.positions.map((p) => p.id)).toEqual(["seat 1", "seat 2", "seat 3"]);
    expect(survey.frequency).toBe(grid);
    expect(survey.mains[1].re).toEqual(entries[1].mains.re);
    expect(survey.subs[2].coherence).toEqual(entries[2].subs.coherence);
    expect(survey.both).toHaveLength(3);
    expect(survey.fills).toBeUndefined();
    expect(survey.quantity).toBe("ratio");
    expect(survey.checks.map((check) => check.agrees)).toEqual([true, true, true]);
    expect(survey.warnings).toEqual([]);
  });

  it("names the position whose both is not the sum, and still gives the survey", () => {
    const broken = measurement(2);
    const entries = [measurement(1), { ...broken, both: sum(broken.mains, changed(broken.subs, -1)) }];
    const survey = measuredSurvey(entries);
    expect(survey.checks.map((check) => check.agrees)).toEqual([true, false]);
    expect(survey.warnings).toHaveLength(1);
    expect(survey.warnings[0]).toMatch(/^position "seat 2": .*polarity of the subs/);
    expect(survey.positions).toHaveLength(2);
  });

  it("brings other frequencies onto the common ones by their complex values", () => {
    const position = somePlace(seeded(4));
    const truth = at(position);
    const other = {
      position: { id: "b", point: { x: 1, y: 1, z: 1 }, area: "", people: 1 },
      mains: at(position, logGrid(18, 18_000, 8000)).mains,
      subs: truth.subs,
    };
    const survey = measuredSurvey([measurement(1), other]);
    survey.frequency.forEach((_, i) => {
      expect(
        Math.hypot(survey.mains[1].re[i] - truth.mains.re[i], survey.mains[1].im[i] - truth.mains.im[i]),
      ).toBeLessThan(0.001 * position.mainsLevel);
    });
  });

  it("keeps a response that is too coarse in part, with coherence 0 there and a warning, or refuses it if told to", () => {
    // A reflection nearly as strong as the direct sound turns the phase at each of its notches.
    const position = { ...somePlace(seeded(4)), reflection: { delay: 0.009, gain: 0.95 } };
    const coarse = {
      position: { id: "b", point: { x: 1, y: 1, z: 1 }, area: "", people: 1 },
      mains: at(position, logGrid(18, 18_000, 60)).mains,
      subs: at(position).subs,
    };
    const survey = measuredSurvey([measurement(1), coarse]);
    expect(survey.warnings.join()).toMatch(
      /position "b": \d+ % of the frequencies of the mains lie between measured points too far apart to tell the phase/,
    );
    expect(survey.mains[1].coherence!.some((c) => c === 0)).toBe(true);
    expect(survey.mains[1].coherence!.some((c) => c === 1)).toBe(true);
    expect(() =>
      measuredSurvey([measurement(1), coarse], { interpolation: { tooCoarse: "refuse" } }),
    ).toThrow(/^position "b", mains: response is too coarse between/);
  });

  it("leaves both out when a position lacks it, and checks where it is", () => {
    const { both: _, ...without } = measurement(2);
    const survey = measuredSurvey([measurement(1), without]);
    expect(survey.both).toBeUndefined();
    expect(survey.checks.map((check) => check.position)).toEqual(["seat 1"]);
  });

  it("adds fills to the mains in the check, and warns where only some positions have them", () => {
    const entry = measurement(1);
    const fills = changed(entry.mains, 0.5, 0.004);
    const withFills = { ...entry, fills, both: sum(sum(entry.mains, fills), entry.subs) };
    expect(measuredSurvey([withFills]).checks[0].agrees).toBe(true);
    expect(measuredSurvey([withFills]).fills).toHaveLength(1);
    const survey = measuredSurvey([withFills, measurement(2)]);
    expect(survey.fills).toBeUndefined();
    expect(survey.warnings.join()).toMatch(/position "seat 2": fills were not measured/);
  });

  it("shows what has too little coherence, with its share and stretches", () => {
    const entry = measurement(1);
    const coherence = grid.map((f) => (f < 100 ? 0.2 : 0.9));
    const survey = measuredSurvey([{ ...entry, mains: { ...entry.mains, coherence } }]);
    const part = survey.doubtful.find((d) => d.part === "mains")!;
    expect(part.position).toBe("seat 1");
    expect(part.leftOut).toHaveLength(1);
    expect(part.leftOut[0].from).toBe(20);
    expect(part.leftOut[0].to).toBeLessThan(100);
    // A fourth-order high-pass at 90 Hz is 20 dB down near 55 Hz; of the ln 291 up to 16 kHz, ln 1.8 lies below 100 Hz: 10 %.
    expect(part.usableFraction).toBeGreaterThan(0.87);
    expect(part.usableFraction).toBeLessThan(0.93);
  });

  it("takes traces, names their file in what goes wrong, and says that levels alone can't be summed", () => {
    const entry = measurement(1);
    const mains = readTrace(writeTrace(entry.mains), "mains row A.csv");
    expect(measuredSurvey([{ ...entry, mains }]).checks[0].agrees).toBe(true);
    const short = readTrace("frequency_hz,magnitude_db,phase_deg\n100,0,0\n200,0,0\n", "short.csv");
    expect(() => measuredSurvey([entry, { ...measurement(2), mains: short }])).toThrow(
      /^position "seat 2", mains \(short.csv\): frequency 20 Hz lies outside the 100 to 200 Hz that were measured; choose/,
    );
    const levels = { ...entry.subs, im: entry.subs.im.map(() => 0), magnitudeOnly: true };
    const survey = measuredSurvey([{ ...entry, subs: levels }]);
    expect(survey.checks[0].agrees).toBeUndefined();
    expect(survey.warnings.join()).toMatch(/position "seat 1": subs have no phase/);
  });

  it("refuses no positions, names used twice, and values that are no numbers", () => {
    expect(() => measuredSurvey([])).toThrow(/measurements is empty/);
    expect(() => measuredSurvey([measurement(1, "a"), measurement(2, "a")])).toThrow(
      'measurements[1].position.id is "a" again',
    );
    const entry = measurement(1);
    const re = entry.subs.re.slice();
    re[7] = NaN;
    expect(() => measuredSurvey([{ ...entry, subs: { ...entry.subs, re } }])).toThrow(
      /^position "seat 1", subs: re at 24\.3\d* Hz is NaN, expected a number/,
    );
  });
});

describe("low coherence", () => {
  const frequency = logGrid(20, 2000, 60);
  const flat = (coherence: number, diffuse?: number): Response => ({
    frequency,
    re: frequency.map(() => 1),
    im: frequency.map(() => 0),
    coherence: frequency.map(() => coherence),
    averages: frequency.map(() => 50),
    ...(diffuse !== undefined && { diffuse: frequency.map(() => diffuse) }),
  });
  const position = { id: "row A", point: { x: 5, y: 0, z: 1 }, area: "stalls", people: 1 };
  const warnings = (mains: Response) =>
    measuredSurvey([{ position, mains, subs: flat(1, 0) }]).warnings.join("\n");

  // Of the whole power |H|²/γ² = 10 the coherent part is 1 and what the noise leaves of the rest is reverberation.
  it("is no fault where the rest is reverberation", () => {
    expect(warnings(flat(0.1, 9))).toBe("");
    expect(warnings(flat(0.1, 4.5))).toBe("");
  });

  it("is told as noise where noise is the stronger part, with what protects hearing before more level", () => {
    expect(warnings(flat(0.1, 3))).toMatch(
      /position "row A", mains: noise is as strong .* 0 % of the frequencies; measure longer, .*room is empty and whoever stays wears hearing protection, louder/,
    );
  });

  it("is told as either where nothing tells them apart", () => {
    expect(warnings(flat(0.1))).toMatch(
      /0\.5 or more at 0 % of the frequencies only, for noise or for reverberation/,
    );
  });
});
