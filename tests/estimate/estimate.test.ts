/** What an estimate owes to what was heard; invented rooms of a few plane waves, so that truth is no venue's model. */
import { describe, expect, test } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import type { Response } from "../../lib/acoustics/response";
import { levelOffset } from "../../lib/decision/offset/offset";
import { estimateSurvey } from "../../lib/estimate/estimate";
import { normal } from "../../lib/numeric/random";
import { partOfSurvey } from "../../lib/survey/part";
import type { Survey } from "../../lib/survey/survey";

const frequency = logGrid(20, 4000, 190);
const positions = Array.from({ length: 24 }, (_, i) => ({
  id: `seat ${i}`,
  point: { x: 4 + 2.5 * Math.floor(i / 4), y: 3 * (i % 4) - 4.5, z: 1.2 },
  area: "floor",
  people: 1,
}));

/** Direct sound and some waves from anywhere. */
function room(seed: number, waves: number, level: number): Survey {
  const random = normal(seed);
  const group = (gain: number, isSub: boolean): Response[] => {
    const sent = Array.from({ length: waves }, () => {
      const [x, y, z] = [random(), random(), random()];
      const size = Math.hypot(x, y, z);
      return {
        x: x / size,
        y: y / size,
        z: z / size,
        late: 0.01 + 0.02 * Math.abs(random()),
        a: random(),
        b: random(),
      };
    });
    return positions.map(({ point }) => {
      const re = new Float64Array(frequency.length);
      const im = new Float64Array(frequency.length);
      frequency.forEach((f, n) => {
        const way = Math.hypot(point.x, point.y);
        const cut = isSub ? 1 / (1 + (f / 90) ** 4) : 1 / (1 + (70 / f) ** 4);
        const add = (size: number, turn: number) => {
          re[n] += gain * cut * size * Math.cos(turn);
          im[n] += gain * cut * size * Math.sin(turn);
        };
        add(1 / way, (-2 * Math.PI * f * way) / 343);
        for (const w of sent) {
          const path = (w.x * point.x + w.y * point.y + w.z * point.z) / 343 + w.late;
          add((level * w.a) / Math.sqrt(waves), -2 * Math.PI * f * path + 3 * w.b);
        }
      });
      return { frequency, re, im };
    });
  };
  return {
    name: "room",
    quantity: "pressure",
    frequency,
    positions,
    mains: group(1, false),
    subs: group(1.5, true),
  };
}

const model = room(1, 12, 0.08);
const truth = room(2, 12, 0.08);
const later = (survey: Survey, seconds: (i: number) => number, gain = 1): Survey => {
  const turned = (r: Response, i: number): Response => {
    const turn = (n: number) => 2 * Math.PI * frequency[n] * seconds(i);
    return {
      frequency,
      re: r.re.map((x, n) => gain * (x * Math.cos(turn(n)) + r.im[n] * Math.sin(turn(n)))),
      im: r.re.map((x, n) => gain * (r.im[n] * Math.cos(turn(n)) - x * Math.sin(turn(n)))),
    };
  };
  return { ...survey, mains: survey.mains.map(turned), subs: survey.subs.map(turned) };
};
const low = [...frequency.keys()].filter((n) => frequency[n] > 30 && frequency[n] < 120);
const level = (r: Response) =>
  10 * Math.log10(low.reduce((s, n) => s + r.re[n] ** 2 + r.im[n] ** 2 + (r.diffuse?.[n] ?? 0), 0));
const heard = [1, 6, 11, 16, 22];

describe("at a microphone", () => {
  const measured = partOfSurvey(truth, heard);
  const estimate = estimateSurvey(model, { measured });

  test("the estimate is what was heard, and so is every draw of it", () => {
    const away = (survey: Survey) => {
      const each = heard.flatMap((i, k) =>
        (["mains", "subs"] as const).map((g) => Math.abs(level(survey[g][i]) - level(measured[g][k]))),
      );
      return Math.max(...each);
    };
    expect(away(model)).toBeGreaterThan(2);
    for (const survey of [estimate.survey, estimate.draw(0), estimate.draw(7)])
      expect(away(survey)).toBeLessThan(1);
  });

  test("what was heard as reverberation is a part of it, at the microphones and at every seat", () => {
    // Half of the power has come too late for the window to have a phase.
    const ringing = (r: Response): Response => ({
      frequency,
      re: r.re.map((x) => x * Math.SQRT1_2),
      im: r.im.map((x) => x * Math.SQRT1_2),
      diffuse: r.re.map((x, n) => (x * x + r.im[n] ** 2) / 2),
    });
    const late = { ...measured, mains: measured.mains.map(ringing), subs: measured.subs.map(ringing) };
    const found = estimateSurvey(model, { measured: late }).survey;
    for (const g of ["mains", "subs"] as const)
      positions.forEach((_, i) => {
        expect(Math.abs(level(found[g][i]) - level(estimate.survey[g][i]))).toBeLessThan(0.3);
      });
  });

  test("a model's own diffuse sound is not beside what was heard, but what nobody knows of the field elsewhere", () => {
    const diffuse = (r: Response): Response => ({ ...r, diffuse: r.re.map((x, n) => x * x + r.im[n] ** 2) });
    const blurred = { ...model, mains: model.mains.map(diffuse), subs: model.subs.map(diffuse) };
    const found = estimateSurvey(blurred, { measured }).survey;
    heard.forEach((i, k) => {
      expect(Math.abs(level(found.subs[i]) - level(measured.subs[k]))).toBeLessThan(1);
    });
    const unknown = low.reduce((sum, n) => sum + found.subs[4].diffuse![n], 0);
    expect(unknown).toBeGreaterThan(0);
  });

  test("draws differ elsewhere", () => {
    const [a, b] = [estimate.draw(1), estimate.draw(2)].map((s) => level(s.subs[4]));
    expect(Math.abs(a - b)).toBeGreaterThan(0.02);
  });

  test("clocks of its own change nothing, and neither does a reference of its own", () => {
    const clocks = later(measured, (i) => 0.01 * i - 0.02);
    const relative = { ...later(measured, () => 0, 0.003), quantity: "ratio" as const };
    const offset = levelOffset(estimate.survey).offset_db;
    expect(levelOffset(estimateSurvey(model, { measured: clocks }).survey).offset_db).toBeCloseTo(offset, 1);
    expect(
      Math.abs(levelOffset(estimateSurvey(model, { measured: relative }).survey).offset_db - offset),
    ).toBeLessThan(0.4);
  });
});

test("louder subs at all microphones are louder at seats where none stood", () => {
  const louder = {
    ...truth,
    subs: truth.subs.map((r) => ({ ...r, re: r.re.map((x) => 2 * x), im: r.im.map((x) => 2 * x) })),
  };
  const at = (survey: Survey) =>
    level(estimateSurvey(model, { measured: partOfSurvey(survey, heard) }).survey.subs[13]);
  expect(at(louder) - at(truth)).toBeGreaterThan(3.5);
  expect(at(louder) - at(truth)).toBeLessThan(6.1);
});

test("what a group's recordings hold beyond its filters tells nothing of its level", () => {
  const plain = partOfSurvey(truth, heard);
  const leaking = {
    ...plain,
    // Noise as loud as the subs' loudest band, an octave and more above them.
    subs: plain.subs.map((r) => ({ ...r, re: r.re.map((x, n) => (frequency[n] > 500 ? 0.1 : x)) })),
  };
  const offset = (measured: Survey) => levelOffset(estimateSurvey(model, { measured }).survey).offset_db;
  expect(Math.abs(offset(leaking) - offset(plain))).toBeLessThan(0.3);
});

test("fills are heard with the mains, whether or not they were measured apart", () => {
  const parted = {
    ...model,
    fills: model.mains.map((r) => ({ ...r, re: r.re.map((x) => 0.4 * x), im: r.im.map((x) => 0.4 * x) })),
  };
  const together = {
    ...model,
    mains: model.mains.map((r) => ({ ...r, re: r.re.map((x) => 1.4 * x), im: r.im.map((x) => 1.4 * x) })),
  };
  const measured = partOfSurvey(truth, heard);
  const found = [parted, together].map((m) => estimateSurvey(m, { measured }).survey);
  expect(found[0].fills).toBeUndefined();
  expect(levelOffset(found[0]).offset_db).toBeCloseTo(levelOffset(found[1]).offset_db, 6);
});

test("where nothing was heard the power is the model's", () => {
  const { survey } = estimateSurvey(model);
  const mean = (s: Survey) => 10 * Math.log10(s.subs.reduce((sum, r) => sum + 10 ** (level(r) / 10), 0));
  expect(Math.abs(mean(survey) - mean(model))).toBeLessThan(0.05);
});

test("a number gives the same draw each time", () => {
  const estimate = estimateSurvey(model);
  expect(estimate.draw(3).subs[2].re).toEqual(estimate.draw(3).subs[2].re);
});

test("levels without phase tell levels alone", () => {
  const measured = partOfSurvey(truth, heard);
  const plain = (r: Response): Response => ({
    frequency,
    re: r.re.map((x, n) => Math.hypot(x, r.im[n])),
    im: new Float64Array(frequency.length),
    magnitudeOnly: true,
  });
  const levels = { ...measured, mains: measured.mains.map(plain), subs: measured.subs.map(plain) };
  const { survey } = estimateSurvey(model, { measured: levels });
  expect(Number.isFinite(levelOffset(survey).offset_db)).toBe(true);
});

test("what doesn't fit together is told", () => {
  const stranger = partOfSurvey(
    { ...truth, positions: truth.positions.map((p) => ({ ...p, id: `row ${p.id}` })) },
    [0],
  );
  expect(() => estimateSurvey(model, { measured: stranger })).toThrow(
    /"row seat 0" was measured and is no position of the model/,
  );
  const coarse = logGrid(20, 4000, 50);
  expect(() => estimateSurvey(model, { measured: { ...truth, frequency: coarse } })).toThrow(
    /different frequencies/,
  );
});

describe("subs in a setting that is in no drawing", () => {
  const heardSubs = (change: (r: Response) => Response) =>
    estimateSurvey(model, {
      measured: partOfSurvey({ ...truth, subs: truth.subs.map(change) }, heard),
    }).survey;
  const asDrawn = heardSubs((r) => r);
  /** Their pressure at a seat where no microphone stood, 30 to 120 Hz, relative to that of subs as drawn, by the mean phase. */
  const relative = (survey: Survey, late: number) => {
    const [a, b] = [asDrawn.subs[13], survey.subs[13]];
    let [re, im] = [0, 0];
    for (const n of low) {
      const turn = 2 * Math.PI * frequency[n] * late;
      const x = a.re[n] * b.re[n] + a.im[n] * b.im[n];
      const y = a.re[n] * b.im[n] - a.im[n] * b.re[n];
      re += x * Math.cos(turn) - y * Math.sin(turn);
      im += x * Math.sin(turn) + y * Math.cos(turn);
    }
    return re / Math.hypot(re, im);
  };
  const inverted = (r: Response): Response => ({ ...r, re: r.re.map((x) => -x), im: r.im.map((x) => -x) });
  const delayed = (seconds: number) => (r: Response) =>
    later({ ...truth, mains: [], subs: [r] }, () => seconds).subs[0];

  test("inverted at the microphones, they are inverted at a seat where none stood", () => {
    expect(relative(heardSubs(inverted), 0)).toBeLessThan(-0.95);
  });

  test("late at the microphones, they are as late there, and inverted as well where both are", () => {
    expect(relative(heardSubs(delayed(0.006)), 0.006)).toBeGreaterThan(0.95);
    expect(
      relative(
        heardSubs((r) => inverted(delayed(0.003)(r))),
        0.003,
      ),
    ).toBeLessThan(-0.95);
  });

  test("half a millisecond is what a drawing is off by, and changes no seat far from the microphones", () => {
    expect(relative(heardSubs(delayed(0.0005)), 0)).toBeGreaterThan(0.95);
  });
});
