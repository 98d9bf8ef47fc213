/** The parts of a calibration, each by hand: what may be off, what is compared, how a fit is told in words. */
import { Matrix } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { calibrate } from "../../../lib/decision/calibration/calibrate";
import { calibrationData } from "../../../lib/decision/calibration/data";
import {
  covarianceOf,
  derivatives,
  informationOf,
  leastSquares,
} from "../../../lib/decision/calibration/fit";
import {
  calibrationReasons,
  confusedValues,
  standardDeviation,
} from "../../../lib/decision/calibration/reasons";
import type { Calibration } from "../../../lib/decision/calibration/result";
import { type Uncertainty, uncertainValues, venueWith } from "../../../lib/decision/calibration/values";
import { modelSurvey } from "../../../lib/field/model-survey";
import type { Cavity, Venue } from "../../../lib/venue/venue";
import { source, venue, wall } from "../../field/venues";
import { flat, frequency, position, survey } from "../synthetic";

const at = (x: number, y: number, z: number) => ({ x, y, z });
const level = { frequency: [25, 50, 100, 1000], level: [90, 90, 90, 90] };
const open: Venue = venue({
  sources: [
    source(at(1, 0, 0.5), { id: "sub", group: "subs", level, delay: 0.002 }),
    source(at(0, 3, 6), { id: "main", group: "mains", level, gain: -2 }),
  ],
});

describe("values that may be off", () => {
  const cavity = {
    name: "pit",
    depth: 1.5,
    absorption: { frequency: [1000], value: [0.5] },
  } as unknown as Cavity;
  const hall: Venue = {
    ...open,
    boundaries: [
      wall("x", -3, 20, { frequency: [100, 1000], value: [0.5, 0.2] }),
      wall("z", 0, 20, { frequency: [1000], value: [0.3] }),
      wall("x", -3, 20, { frequency: [1000], value: [0.75] }),
    ],
    cavities: [cavity],
    room: { volume: 1000, surface: 700, reverberationTime: { frequency: [100, 1000], value: [2, 1] } },
  };
  // Within the tests, for what runs while a file loads no mutant reaches.
  const values = () => uncertainValues(hall);
  const moved = (name: string, amount: number, from = hall) => {
    const value = values().find((v) => v.name === name);
    if (!value) throw new Error(`no value "${name}"`);
    return value.apply(from, amount);
  };

  test("are those that the venue has, one for each name of a surface", () => {
    expect(values().map((v) => v.name)).toEqual([
      "level of the subs",
      "level of the mains",
      "slope of the subs' response",
      "delay of the subs",
      "distance of the subs from the stage's edge",
      "height of the mains",
      "temperature",
      'absorption of "x = -3"',
      'absorption of "z = 0"',
      'depth of "pit"',
      "reverberation time",
    ]);
    expect(uncertainValues({ ...open, sources: [] }).map((v) => v.name)).not.toContain("level of the subs");
    expect(uncertainValues(open).map((v) => v.name)).not.toContain("reverberation time");
    const none: Uncertainty = { slope: 0, delay: 0, subDistance: 0, mainsHeight: 0, temperature: 0 };
    expect(uncertainValues(open, none).map((v) => v.name)).toEqual([
      "level of the subs",
      "level of the mains",
    ]);
  });
  test("change what they say, by as much, and nothing else", () => {
    const [sub, main] = hall.sources;
    const sources = (v: Venue) => [v.sources[0], v.sources[1]];
    expect(sources(moved("level of the subs", 3))).toEqual([{ ...sub, gain: 3 }, main]);
    expect(sources(moved("level of the mains", -3))).toEqual([sub, { ...main, gain: -5 }]);
    const late = sources(moved("delay of the subs", 0.5));
    expect(late[0].delay).toBeCloseTo(0.0025, 12);
    expect(late[1]).toEqual(main);
    expect(sources(moved("distance of the subs from the stage's edge", 0.2))[0].point).toEqual(
      at(1.2, 0, 0.5),
    );
    expect(sources(moved("height of the mains", -0.5))).toEqual([sub, { ...main, point: at(0, 3, 5.5) }]);
    expect(moved("temperature", 4)).toEqual({ ...hall, air: { ...hall.air, temperature: 24 } });
    // A decibel and a half for each octave from 50 Hz.
    const [tilted, same] = sources(moved("slope of the subs' response", 1.5));
    [-1.5, 0, 1.5].forEach((x, i) => {
      expect(tilted.level.level[i]).toBeCloseTo(90 + x, 9);
    });
    expect(same).toEqual(main);
  });
  test("move an absorption along the logistic curve: one half by ln 3 is three quarters, two fifths back by ln 6 a tenth", () => {
    const absorptions = (v: Venue) =>
      v.boundaries.map((b) => b.absorption.value.map((a) => Number(a.toFixed(9))));
    expect(absorptions(moved('absorption of "x = -3"', Math.log(3)))).toEqual([
      [0.75, 0.428571429],
      [0.3],
      [0.9],
    ]);
    const hard = { ...hall, boundaries: [wall("z", 0, 20, { frequency: [1000], value: [0.4] })] };
    expect(absorptions(moved('absorption of "z = 0"', -Math.log(6), hard))).toEqual([[0.1]]);
    const ends = { ...hall, boundaries: [wall("z", 0, 20, { frequency: [100, 1000], value: [0, 1] })] };
    expect(absorptions(moved('absorption of "z = 0"', 0, ends))).toEqual([[0.01, 0.99]]);
  });
  test("stretch a decay by e^x, and leave a cavity a tenth of a metre at least", () => {
    expect(moved("reverberation time", Math.log(1.5)).room?.reverberationTime.value).toEqual(
      [3, 1.5].map((x) => expect.closeTo(x, 9)),
    );
    expect(moved('depth of "pit"', 0.25).cavities[0].depth).toBeCloseTo(1.75, 12);
    expect(moved('depth of "pit"', -9).cavities[0].depth).toBe(0.1);
  });
  test("go by their standard deviations, all of them", () => {
    const two = venueWith(
      hall,
      values(),
      values().map((v) => (v.name.startsWith("level") ? 2 : 0)),
    );
    expect(two.sources.map((s) => s.gain)).toEqual([6, 4]);
    const still = venueWith(
      hall,
      values(),
      values().map(() => 0),
    );
    expect(still.sources).toEqual(hall.sources);
  });
});

describe("what is compared", () => {
  // 31.5 to 125 Hz are seven thirds: levels of mains, levels of subs, agreement, then the mid band.
  const data = (subs: ReturnType<typeof flat>, mains = flat(0), options = {}) =>
    calibrationData(survey([position("a")], [mains], [subs]), options);
  const fill = (x: number) => new Float64Array(frequency.length).fill(x);

  test("are levels, and how far mains and subs agree: the cosine of 60°", () => {
    const { value, error, perPosition } = data(flat(-6, Math.PI / 3), flat(2));
    expect(perPosition).toBe(22);
    for (let k = 0; k < 7; k++) {
      expect(value[k]).toBeCloseTo(2, 6);
      expect(value[7 + k]).toBeCloseTo(-6, 6);
      expect(value[14 + k]).toBeCloseTo(0.5, 6);
      expect(error[k]).toBeCloseTo(0.7, 12);
      // √2 · 0.7 dB over 8.686 dB to the neper.
      expect(error[14 + k]).toBeCloseTo(0.11397, 4);
    }
    expect(value[21]).toBeCloseTo(2, 6);
    expect(data(flat(0), flat(0), { levelError: 1.4, lowRange: [40, 80] })).toMatchObject({
      perPosition: 13,
    });
    expect(data(flat(0), flat(0), { levelError: 1.4 }).error[21]).toBeCloseTo(1.4, 12);
  });
  test("are no levels 25 dB below the other side, and no agreement from 12 dB on", () => {
    const known = (subs: ReturnType<typeof flat>, mains = flat(0)) => {
      const { value } = data(subs, mains);
      return [0, 7, 14, 21].map((i) => Number.isFinite(value[i]));
    };
    expect(known(flat(-24.5))).toEqual([true, true, false, true]);
    expect(known(flat(-25.5))).toEqual([true, false, false, true]);
    expect(known(flat(25.5))).toEqual([false, true, false, true]);
    expect(known(flat(-11.5))).toEqual([true, true, true, true]);
    expect(known(flat(-12.5))).toEqual([true, true, false, true]);
    expect(known(flat(12.5))).toEqual([true, true, false, true]);
    expect(known({ ...flat(0), magnitudeOnly: true } as never)).toEqual([true, true, false, true]);
  });
  test("err by coherence and averages as well: 0.5 after 50 is a tenth, 0.869 dB", () => {
    const noisy = (coherence: number, averages: number) => ({
      ...flat(0),
      coherence: fill(coherence),
      averages: fill(averages),
    });
    const { error } = data(noisy(0.5, 50), flat(0));
    expect(error[0]).toBeCloseTo(0.7, 9);
    expect(error[7]).toBeCloseTo(Math.hypot(0.7, 0.8686), 3);
    expect(error[14]).toBeCloseTo(Math.hypot(0.7, 0.7, 0.8686) / 8.6859, 4);
    expect(data(flat(0), noisy(0.5, 50)).error[21]).toBeCloseTo(Math.hypot(0.7, 0.8686), 3);
    // No more than 10 dB, and nothing of averages that are none.
    expect(data(flat(0), noisy(0, 1)).error[21]).toBeCloseTo(Math.hypot(0.7, 10), 6);
    expect(data(flat(0), noisy(0.5, 0)).error[21]).toBeCloseTo(0.7, 9);
  });
});

describe("a fit", () => {
  test("of two values weighs data and priors: normal equations by hand", () => {
    // a + b = 3 and a − b = 1 with errors 1, and 0 ± 1 for each: (JᵀJ + 1) x = Jᵀy is 3a = 4, 3b = 2.
    const residuals = ([a, b]: readonly number[]) => Float64Array.of(a + b - 3, a - b - 1);
    const [a, b] = leastSquares(residuals, 2, 30);
    expect(a).toBeCloseTo(4 / 3, 3);
    expect(b).toBeCloseTo(2 / 3, 3);
    const jacobian = derivatives(residuals, [a, b], residuals([a, b]));
    expect(jacobian.map((row) => [...row].map((x) => Number(x.toFixed(9)) + 0))).toEqual([
      [1, 1],
      [1, -1],
    ]);
    const covariance = covarianceOf(informationOf(jacobian));
    expect(covariance.get(0, 0)).toBeCloseTo(1 / 3, 9);
    expect(covariance.get(0, 1)).toBeCloseTo(0, 9);
  });
  test("goes no further than four standard deviations", () => {
    const [a] = leastSquares(([x]: readonly number[]) => Float64Array.of(1000 * (x - 9)), 1, 30);
    expect(a).toBeCloseTo(4, 6);
  });
  test("errs in a sum by slopes and covariance: 4 + 2 · 2 · 1 + 4 · 9 by hand", () => {
    const covariance = new Matrix([
      [4, 1],
      [1, 9],
    ]);
    expect(standardDeviation(covariance, [1, 2])).toBeCloseTo(Math.sqrt(44), 12);
    expect(standardDeviation(covariance, [1, -2])).toBeCloseTo(6, 12);
  });
  test("can't tell apart what errs together by 0.7 or more, the closest pair first", () => {
    const values = ["a", "b", "c"].map((name) => ({ name, unit: "", deviation: 1, apply: (v: Venue) => v }));
    const found = confusedValues(
      values,
      new Matrix([
        [4, 1.5, -1.9],
        [1.5, 1, 0.1],
        [-1.9, 0.1, 1],
      ]),
    );
    expect(found.map((f) => [f.values, Number(f.correlation.toFixed(3))])).toEqual([
      [["a", "c"], -0.95],
      [["a", "b"], 0.75],
    ]);
    expect(found[0].reason).toContain("like more of the c");
    expect(found[1].reason).toContain("like less of the b");
  });
});

describe("a calibration in words", () => {
  const value = (more: object) => ({
    name: "level of the subs",
    unit: "dB",
    change: 3,
    standardError: 0.2,
    left_fraction: 0.1,
    ...more,
  });
  const result = (more: object = {}) =>
    ({
      offsetBefore_db: -2,
      offset_db: 1.5,
      misfit: 1,
      interval: { from_db: 1, to_db: 2, standardError_db: 0.4, confidence_fraction: 0.9 },
      values: [value({})],
      confused: [],
      undetermined: [],
      nextMicrophone: [{ position: position("row K"), standardError_db: 0.3 }],
      ...more,
    }) as unknown as Calibration;
  const words = (more?: object) => calibrationReasons(result(more)).join("\n");

  test("says what was learned: what is off by more than its error and known to less than half", () => {
    expect(words()).toContain("go to −2.0 dB; with the measurement to +1.5 dB");
    expect(words()).toContain("level of the subs off by 3.00 ± 0.20 dB");
    expect(words({ values: [value({ left_fraction: 0.6 })] })).not.toContain("The measurement finds");
    expect(words({ values: [value({ change: -0.1 })] })).not.toContain("The measurement finds");
    expect(words({ values: [value({ change: -0.3 })] })).toContain("off by -0.30");
  });
  test("says when the model misses the measurement, and what it can't tell", () => {
    expect(words({ misfit: 1.4 })).not.toContain("misses");
    expect(words({ misfit: 1.6 })).toContain("misses the measurement by 1.6 times");
    expect(words({ undetermined: ["temperature", "slope"] })).toContain("nothing of temperature, slope");
    expect(words()).not.toContain("next to nothing");
    const confused = [1, 2, 3, 4].map((n) => ({ values: ["a", "b"], correlation: 0.9, reason: `pair ${n}` }));
    expect(words({ confused })).toContain("pair 3");
    expect(words({ confused })).not.toContain("pair 4");
  });
  test("says where one more microphone tells most, if it tells a twentieth", () => {
    expect(words()).toContain('most at "row K"');
    expect(words()).toContain("from 0.40 to 0.30 dB");
    const next = (x: number) =>
      words({ nextMicrophone: [{ position: position("row K"), standardError_db: x }] });
    expect(next(0.375)).toContain("row K");
    expect(next(0.385)).toContain("would tell little more");
    expect(words({ nextMicrophone: [] })).not.toContain("microphone");
  });
});

describe("in the open, where distance is all there is", () => {
  const places = [4, 8, 12].map((x) => position(`m${x}`, { x, y: 0, z: 1.2 }));
  const seats = [5, 7, 9, 11, 13].map((x) => position(`s${x}`, { x, y: 1, z: 1.2 }, 10));
  const field = { order: 0 };
  const options = { seats, field, iterations: 3 } as const;
  const measured = (v: Venue) => calibrate(open, modelSurvey(v, places, field), options);
  const change = (c: Calibration, name: string) =>
    c.values.find((v) => v.name === name)?.change ?? Number.NaN;
  const same = () => measured(open);

  test("nothing is found off where nothing is, and the offset stays, but for the survey's finer frequencies", () => {
    for (const v of same().values) expect(Math.abs(v.change)).toBeLessThan(0.01);
    expect(same().misfit).toBeLessThan(0.01);
    expect(same().offset_db).toBeCloseTo(same().offsetBefore_db, 2);
    expect(same().undetermined).toContain("temperature");
    expect(same().undetermined).not.toContain("level of the subs");
  });
  test("subs 4 dB down are found, and the offset follows them up", () => {
    const quiet = {
      ...open,
      sources: open.sources.map((s) => (s.group === "subs" ? { ...s, gain: -4 } : s)),
    };
    const found = measured(quiet);
    expect(Math.abs(change(found, "level of the subs") + 4)).toBeLessThan(0.4);
    expect(Math.abs(change(found, "level of the mains"))).toBeLessThan(0.4);
    expect(Math.abs(found.offset_db - same().offset_db - 4)).toBeLessThan(0.3);
    expect(found.venue.sources[0].gain).toBeCloseTo(change(found, "level of the subs"), 9);
  });
  test("an interval is 1.645 standard errors to either side at 90 %, and 0.674 at 50 %", () => {
    const { from_db, to_db, standardError_db, confidence_fraction } = same().interval;
    expect((to_db - from_db) / 2 / standardError_db).toBeCloseTo(1.645, 3);
    expect((to_db + from_db) / 2).toBeCloseTo(same().offset_db, 9);
    expect(confidence_fraction).toBe(0.9);
    const half = calibrate(open, modelSurvey(open, places, field), { ...options, confidence: 0.5 });
    expect((half.interval.to_db - half.interval.from_db) / 2 / standardError_db).toBeCloseTo(0.674, 3);
  });
  test("errors shrink from prior to fit, and again by the microphone proposed, one of five of the candidates", () => {
    for (const v of same().values) {
      expect(v.left_fraction).toBeLessThanOrEqual(1);
      expect(v.left_fraction).toBeGreaterThan(0);
    }
    const candidates = [3, 6, 9].map((x) => position(`c${x}`, { x, y: 2, z: 1.2 }));
    const found = calibrate(open, modelSurvey(open, places, field), { ...options, candidates });
    expect(found.nextMicrophone.map((m) => m.position.id).sort()).toEqual(["c3", "c6", "c9"]);
    for (const m of found.nextMicrophone)
      expect(m.standardError_db).toBeLessThan(found.interval.standardError_db);
    expect(found.offset_db).toBeCloseTo(same().offset_db, 6);
    expect(same().nextMicrophone).toHaveLength(5);
    // A microphone where one stands already tells as much again, at least.
    const known = same().values.find((v) => v.name === "level of the subs");
    const fewer = calibrate(open, modelSurvey(open, places.slice(0, 1), field), options);
    expect(fewer.values.find((v) => v.name === "level of the subs")?.left_fraction).toBeGreaterThan(
      known?.left_fraction as number,
    );
  });
  test("a ratio has no level of its own: 30 times as much of all changes nothing", () => {
    const s = modelSurvey(open, places, field);
    const scaled = (r: (typeof s.mains)[number]) => ({
      ...r,
      re: r.re.map((x) => 30 * x),
      im: r.im.map((x) => 30 * x),
    });
    const ratio = { ...s, quantity: "ratio" as const, mains: s.mains.map(scaled), subs: s.subs.map(scaled) };
    const found = calibrate(open, ratio, options);
    for (const v of found.values) expect(Math.abs(v.change)).toBeLessThan(0.01);
    expect(found.misfit).toBeLessThan(0.01);
  });
});
