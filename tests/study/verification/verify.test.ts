/** What is planted between a setting and what plays is named: mains and subs of a venue's model, changed by hand. */
import fc from "fast-check";
import { beforeAll, describe, expect, it } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { modelSurvey } from "../../../lib/field/model-survey";
import { venueOfFile } from "../../../lib/lesson/examples/venue-of-file";
import { standFor } from "../../../lib/study/stand-for";
import { type Entered, unchangedGroup } from "../../../lib/study/verification/entered";
import { verify } from "../../../lib/study/verification/verify";
import type { Survey } from "../../../lib/survey/survey";

let survey: Survey;
beforeAll(() => {
  const venue = venueOfFile("pennavoe-assembly-hall");
  const model = modelSurvey(venue, standFor(venue, venue.positions).slice(0, 6));
  const exact = (r: Response): Response => ({
    ...r,
    powerError: r.re.map((x, i) => 0.01 * (x * x + r.im[i] ** 2)),
  });
  survey = { ...model, mains: model.mains.map(exact), subs: model.subs.map(exact) };
}, 120_000);

interface Played {
  readonly mains?: { db?: number; ms?: number; sign?: number };
  readonly subs?: { db?: number; ms?: number; sign?: number };
  /** On what is heard at one position, by its number. */
  readonly at?: Readonly<Record<number, { db?: number; sign?: number }>>;
  readonly all?: number;
}

/** Mains and subs together, each with a level in dB, milliseconds and a sign of its own: e^{−j2πfτ} by hand. */
function heard({ mains, subs, at = {}, all = 0 }: Played, of = survey) {
  const factor = ({ db = 0, ms = 0, sign = 1 }: NonNullable<Played["subs"]>, f: number) => {
    const size = sign * 10 ** (db / 20);
    const turn = -2 * Math.PI * f * (ms / 1000);
    return [size * Math.cos(turn), size * Math.sin(turn)];
  };
  return {
    warnings: [],
    positions: of.positions.map(({ id }, i) => {
      const { frequency } = of;
      const own = (at[i]?.sign ?? 1) * 10 ** ((all + (at[i]?.db ?? 0)) / 20);
      const [re, im, diffuse] = [0, 1, 2].map(() => new Float64Array(frequency.length));
      for (const [part, change] of [
        [of.mains[i], mains],
        [of.subs[i], subs],
      ] as const)
        frequency.forEach((f, k) => {
          const [c, s] = factor(change ?? {}, f);
          re[k] += own * (part.re[k] * c - part.im[k] * s);
          im[k] += own * (part.re[k] * s + part.im[k] * c);
          diffuse[k] += own ** 2 * (c * c + s * s) * (part.diffuse?.[k] ?? 0);
        });
      return {
        position: id,
        response: { frequency, re, im, diffuse, powerError: re.map(() => 0) },
        later: (mains?.ms ?? 0) / 1000,
      };
    }),
  };
}

const entered = (subs: Partial<Entered["subs"]>, mains: Partial<Entered["mains"]> = {}): Entered => ({
  subs: { ...unchangedGroup, ...subs },
  mains: { ...unchangedGroup, ...mains },
});
const found = (played: Played, what: Entered) => verify(survey, heard(played), what, 2);
const kinds = (played: Played, what: Entered) => found(played, what).causes.map(({ kind }) => kind);

const level = fc.double({ min: 2, max: 8, noNaN: true });
const sign = fc.constantFrom(1, -1);
const ms = fc.double({ min: 2, max: 5, noNaN: true });

describe("a setting that plays as it was entered", () => {
  it("is reached, whatever it is, and nothing is named", () => {
    fc.assert(
      fc.property(level, sign, ms, sign, (db, up, late, polarity) => {
        const what = entered({ level_db: up * db, delay_ms: late, polarity: polarity as 1 | -1 });
        const { state, causes } = found({ subs: { db: up * db, ms: late, sign: polarity } }, what);
        expect([state, causes.length]).toEqual(["reached", 0]);
      }),
      { numRuns: 20 },
    );
  });

  it("is reached though everything plays louder or softer, which is told", () => {
    fc.assert(
      fc.property(fc.double({ min: 2, max: 12, noNaN: true }), sign, (db, up) => {
        const { state, causes, louder_db } = found(
          { subs: { db: 3 }, all: up * db },
          entered({ level_db: 3 }),
        );
        expect([state, causes.length]).toEqual(["reached", 0]);
        expect(Math.abs(louder_db - up * db)).toBeLessThan(0.1);
      }),
      { numRuns: 10 },
    );
  });
});

describe("a slip", () => {
  const what = entered({ level_db: 4, delay_ms: 4, polarity: -1 });
  const right = { db: 4, ms: 4, sign: -1 };
  it.each([
    ["polarity", { subs: { ...right, sign: 1 } }],
    ["delay not entered", { subs: { ...right, ms: 0 } }],
    ["delay of the other sign", { subs: { ...right, ms: -4 } }],
    ["level not entered", { subs: { ...right, db: 0 } }],
    ["level of the other sign", { subs: { ...right, db: -4 } }],
    ["wrong group", { subs: { ...right, ms: 0 }, mains: { ms: 4 } }],
    ["wrong group", { subs: { ...right, db: 0 }, mains: { db: 4 } }],
    ["nothing entered", {}],
    ["subs not heard", { subs: { db: -80 } }],
  ] as const)("of its kind is named, and nothing else: %s", (kind, played) => {
    expect(kinds(played, what)).toEqual([kind]);
    expect(found(played, what).state).toBe("not reached");
  });

  it("of some decibels is named with their number", () => {
    fc.assert(
      fc.property(level, sign, fc.constantFrom("subs", "mains"), (db, up, group) => {
        const { causes } = found(
          { subs: { db: 1 }, [group]: { db: up * db + (group === "subs" ? 1 : 0) } },
          entered({ level_db: 1 }),
        );
        expect(causes[0].kind).toBe(`level of the ${group}`);
        expect(Math.abs(causes[0].level_db! - up * db)).toBeLessThan(0.3);
      }),
      { numRuns: 12 },
    );
  });

  it("of some milliseconds is named with their number", () => {
    fc.assert(
      fc.property(ms, sign, (late, up) => {
        const { causes } = found({ subs: { ms: 3 + up * late } }, entered({ delay_ms: 3 }));
        const delay = causes.find(({ kind }) => kind === "delay" || kind.startsWith("delay"));
        expect(delay).toBeDefined();
        if (delay!.delay_ms !== undefined) expect(Math.abs(delay!.delay_ms - up * late)).toBeLessThan(0.3);
      }),
      { numRuns: 10 },
    );
  });
});

describe("one position that departs", () => {
  it.each([
    ["reads", { db: 5 }],
    ["inverted", { sign: -1 }],
    ["hears hardly anything", { db: -40 }],
  ] as const)("is named, with what its microphone does: %s", (word, change) => {
    for (const k of [0, 3]) {
      const { causes } = found({ at: { [k]: change } }, entered({}));
      expect(causes.map(({ kind }) => kind)).toEqual(["one position"]);
      expect(causes[0].positions).toEqual([survey.positions[k].id]);
      expect(causes[0].message).toContain(word);
    }
  });

  it("is told from two that are swapped", () => {
    const all = heard({});
    const [a, b, ...rest] = all.positions;
    const swapped = {
      ...all,
      positions: [{ ...a, response: b.response }, { ...b, response: a.response }, ...rest],
    };
    const { causes } = verify(survey, swapped, entered({}), 2);
    expect(causes.map(({ kind }) => kind)).toEqual(["positions swapped"]);
    expect(causes[0].positions).toEqual([a.position, b.position]);
  });
});

it("nothing can be said where noise is as loud as the sound", () => {
  const all = heard({});
  const noisy = all.positions.map((p) => ({
    ...p,
    response: {
      ...p.response,
      coherence: p.response.re.map(() => 0.02),
      averages: p.response.re.map(() => 8),
    },
  }));
  const { state, causes } = verify(survey, { ...all, positions: noisy }, entered({}), 2);
  expect([state, causes.length]).toEqual(["cannot be said", 0]);
});

it("a position that was not recorded again says why, and the others are told all the same", () => {
  const all = heard({});
  const [first, ...rest] = all.positions;
  const lost = [{ position: first.position, problem: "channel 2 is silent" }, ...rest];
  const { state, positions, reasons } = verify(survey, { ...all, positions: lost }, entered({}), 2);
  expect(state).toBe("reached");
  expect(positions[0]).toMatchObject({ state: "cannot be said", why: "channel 2 is silent" });
  expect(reasons.join(" ")).toContain("channel 2 is silent");
});
