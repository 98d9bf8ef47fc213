import { describe, expect, it } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { checkSum, type SumCheck } from "../../../lib/measurement/health/sum-check";
import { at, changed, measured, type Place, somePlace, sum } from "../hall";
import { type Seeded, seeded } from "../seeded";

type Fault = (mains: Response, subs: Response, position: Place, random: Seeded) => Response;

/** Checks at 20 places what a fault between the recordings leaves, at about 20 dB above the noise. */
function checks(fault: Fault, noise = 0.01): SumCheck[] {
  return Array.from({ length: 20 }, (_, seed) => {
    const random = seeded(seed + 1);
    const position = somePlace(random);
    const { mains, subs } = at(position);
    const both = fault(mains, subs, position, random);
    const take = (response: Response) => measured(response, noise, 16, random);
    return checkSum(`seat ${seed}`, [take(mains)], take(subs), take(both));
  });
}

const kinds = (results: readonly SumCheck[]) =>
  results.map(({ agrees, fault }) =>
    agrees === undefined
      ? "untold"
      : agrees
        ? "agrees"
        : [fault!.part, fault!.kind].filter(Boolean).join(" "),
  );

describe("checkSum", () => {
  it("finds no fault where both is the sum, at any noise", () => {
    for (const noise of [0, 0.001, 0.01, 0.1]) {
      expect(new Set(kinds(checks(sum, noise)))).toEqual(new Set(["agrees"]));
    }
    for (const kind of kinds(checks(sum, 1))) expect(kind).toMatch(/agrees|untold/);
  });

  it("finds 5 % of the frequencies outside their 95 % band when only the error of measurement is allowed", () => {
    // The band is meant to hold 95 %; 20 places × 240 frequencies leave ±0.6 % of chance at two standard deviations.
    let outside = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const random = seeded(seed);
      const { mains, subs } = at(somePlace(random));
      const take = (response: Response) => measured(response, 0.01, 64, random);
      const check = checkSum("seat", [take(mains)], take(subs), take(sum(mains, subs)), { tolerance: 0 });
      outside += check.outside / 20;
    }
    expect(outside).toBeGreaterThan(0.04);
    expect(outside).toBeLessThan(0.06);
  });

  const faults: [string, Fault][] = [
    ["subs not heard", (m) => m],
    ["mains not heard", (_m, s) => s],
    ["subs polarity", (m, s) => sum(m, changed(s, -1))],
    ["mains polarity", (m, s) => sum(changed(m, -1), s)],
    ["both polarity", (m, s) => changed(sum(m, s), -1)],
    ["subs level", (m, s) => sum(m, changed(s, 10 ** (-3 / 20)))],
    ["mains level", (m, s) => sum(changed(m, 10 ** (-3 / 20)), s)],
    ["both level", (m, s) => changed(sum(m, s), 10 ** (-3 / 20))],
    ["subs delay", (m, s) => sum(m, changed(s, 1, 0.002))],
    ["mains delay", (m, s) => sum(changed(m, 1, -0.001), s)],
    ["both delay", (m, s) => changed(sum(m, s), 1, 0.003)],
    ["subs level and delay", (m, s) => sum(m, changed(s, 0.6, 0.004))],
    ["moved microphone", (m, s) => sum(changed(m, 1.1, 0.003), changed(s, 0.9, -0.002))],
  ];
  for (const [name, fault] of faults) {
    it(`tells ${name} from all other faults at 19 places of 20 or more`, () => {
      const right = kinds(checks(fault)).filter((kind) => kind === name).length;
      expect(right).toBeGreaterThanOrEqual(19);
    });
  }

  it("names subs that were left on with the mains, and files of mains and both exchanged", () => {
    for (let seed = 1; seed <= 10; seed++) {
      const random = seeded(seed);
      const { mains, subs } = at(somePlace(random));
      const take = (response: Response) => measured(response, 0.01, 16, random);
      const whole = sum(mains, subs);
      const leftOn = checkSum("seat", [take(whole)], take(subs), take(whole));
      expect(leftOn.message).toMatch(/the subs were left on while the mains were measured/);
      const exchanged = checkSum("seat", [take(whole)], take(subs), take(mains));
      expect(exchanged.message).toMatch(/the files of the mains and of both are likely swapped/);
    }
  });

  it("says by how much level and delay changed", () => {
    for (const { fault } of checks((m, s) => sum(m, changed(s, 10 ** (-4 / 20))))) {
      expect(fault!.levelDb).toBeGreaterThan(-4.3);
      expect(fault!.levelDb).toBeLessThan(-3.7);
      expect(fault!.message).toMatch(
        /the subs are [34]\.\d dB lower than alone; a limiter is likely holding/,
      );
    }
    for (const { fault } of checks((m, s) => sum(m, changed(s, 1, 0.005)))) {
      expect(fault!.delay).toBeGreaterThan(0.0048);
      expect(fault!.delay).toBeLessThan(0.0052);
    }
  });

  it("where the microphone moved among reflections, never says that a level or a polarity changed", () => {
    const moved: Fault = (_m, _s, position, random) => {
      const near = (value: number, by: number) => value + by * (2 * random.uniform() - 1);
      const other = at({
        ...position,
        mainsDelay: near(position.mainsDelay, 0.003),
        subsDelay: near(position.subsDelay, 0.003),
        reflection: { ...position.reflection, delay: near(position.reflection.delay, 0.002) },
      });
      return sum(other.mains, other.subs);
    };
    for (const kind of kinds(checks(moved))) expect(kind).toMatch(/moved microphone|delay|unknown/);
  });

  it("names the position in one sentence with cause and remedy", () => {
    const [check] = checks((m, s) => sum(m, changed(s, -1)));
    expect(check.message).toMatch(
      /^position "seat 0": mains and subs together are not the sum of the two at \d+ % of the frequencies; the polarity of the subs is inverted; .*measure again$/,
    );
  });

  it("says that it can't tell where there is no phase or only noise", () => {
    const random = seeded(1);
    const { mains, subs } = at(somePlace(random));
    const levels = { ...mains, magnitudeOnly: true };
    expect(checkSum("seat", [levels], subs, mains).agrees).toBeUndefined();
    const noisy = (response: Response) => measured(response, 1000, 16, random);
    const check = checkSum("seat", [noisy(mains)], noisy(subs), noisy(sum(mains, subs)));
    expect(check.agrees).toBeUndefined();
    expect(check.message).toBe(
      'position "seat": whether mains and subs add up can\'t be told, too little of it is coherent enough, for noise or reverberation',
    );
  });
});
