import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { balance, prepareBalance } from "../../../lib/decision/balance/balance";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { flat, frequency, pointSource, position, ratios, silent, survey } from "../synthetic";

describe("balance", () => {
  it("does not depend on the grid", () => {
    const positions = [position("a", { x: 7 }), position("b", { x: 15, y: 3 })];
    const made = (count: number) => {
      const f = logGrid(20, 16000, count);
      return survey(
        positions,
        positions.map((p) => pointSource({ x: 0, y: 0, z: 7 }, p.point, 10, 343, f)),
        positions.map((p) => pointSource({ x: 0, y: 4, z: 0 }, p.point, 10, 343, f)),
      );
    };
    const coarse = balance(made(240)).positions;
    const fine = balance(made(4000)).positions;
    coarse.forEach((p, i) => {
      expect(p.balance_db).toBeCloseTo(fine[i].balance_db, 1);
    });
  });

  it("adds fills to the mains", () => {
    const s = survey([position("a")], [flat(0)], [silent()]);
    // Fills as loud as the mains and in phase raise both bands by 6.02 dB: the balance stays, the levels move.
    const found = balance({ ...s, fills: [flat(0)] }, { targetTilt: 0 }).positions[0];
    expect(found.mid_db).toBeCloseTo(6.0206, 3);
    expect(found.balance_db).toBeCloseTo(0, 6);
  });

  it("adds diffuse sound by power", () => {
    const diffuse = new Float64Array(frequency.length).fill(1);
    const s = survey([position("a")], [flat(0)], [{ ...silent(), diffuse }]);
    // 1 of the mains and 1 diffuse of the subs: 3.01 dB; at +6.02 dB the diffuse part is 4, together 5 or 6.99 dB.
    expect(balance(s, { targetTilt: 0 }).positions[0].balance_db).toBeCloseTo(3.0103, 3);
    expect(balance(s, { targetTilt: 0, offset: 6.0206 }).positions[0].balance_db).toBeCloseTo(6.9897, 3);
  });

  it("gives levels re 20 µPa for pressure", () => {
    const s = survey([position("a")], [flat(0)], [silent()], "pressure");
    // 1 Pa is 93.98 dB.
    expect(balance(s).positions[0].mid_db).toBeCloseTo(93.979, 2);
  });

  it("prepared once gives what it gives anew at every offset", () => {
    const s = ratios([3, -2, 5]);
    const prepared = prepareBalance(s, { targetTilt: 4 });
    for (const offset of [-12, 0, 7.5]) {
      expect(prepared.evaluate(offset)).toEqual(balance(s, { targetTilt: 4, offset }));
      // Subs alone in the low band: the deviation moves with the offset, decibel for decibel.
      expect(prepared.deviations(offset)[0]).toBeCloseTo(3 + offset - 4, 3);
    }
  });

  it("counts every position the same where nobody is, and says so", () => {
    const found = balance(ratios([0, 6], [0, 0]), { targetTilt: 0 });
    expect(found.audience.mean_db).toBeCloseTo(3, 3);
    expect(found.reasons.join(" ")).toContain("each counts the same");
  });

  it("leaves out a measurement without coherence, and uses what is coherent of the others", () => {
    const s = ratios([0, 2, 12]);
    const coherence = (x: number) => new Float64Array(frequency.length).fill(x);
    const subs = s.subs.map((r, i) => ({ ...r, coherence: coherence(i === 2 ? 0.1 : 0.9) }));
    const found = levelOffset({ ...s, subs }, { targetTilt: 0, coherenceLimit: 0.5 });
    expect(found.offset_db).toBeCloseTo(-1, 3);
    expect(found.reasons.join(" ")).toContain('"p2" is not coherent enough');
    // A notch in the coherence at 50 Hz with nonsense there changes nothing.
    const spoilt = subs.map((r) => ({
      ...r,
      re: r.re.map((x, i) => (Math.abs(frequency[i] - 50) < 3 ? 30 * x : x)),
      coherence: r.coherence.map((c, i) => (Math.abs(frequency[i] - 50) < 3 ? 0.05 : c)),
    }));
    const still = levelOffset({ ...s, subs: spoilt }, { targetTilt: 0, coherenceLimit: 0.5 });
    expect(still.offset_db).toBeCloseTo(-1, 3);
    const all = subs.map((r) => ({ ...r, coherence: coherence(0.1) }));
    expect(() => levelOffset({ ...s, subs: all }, { coherenceLimit: 0.5 })).toThrow(/measure again/);
  });

  it("names the position of a number that is none, and of silent mains", () => {
    const broken = { ...flat(0), re: flat(0).re.map((x, i) => (i === 40 ? Number.NaN : x)) };
    expect(() => balance(survey([position("row F")], [broken], [flat(0)]))).toThrow(
      /"row F".*not a finite number/,
    );
    expect(() => balance(survey([position("row F")], [silent()], [flat(0)]))).toThrow(
      /silent in the mid band at "row F"/,
    );
    expect(() => balance({ ...ratios([1, 2]), mains: [flat(0)] })).toThrow(
      /1 responses of the mains, expected/,
    );
    expect(() => balance(ratios([1]), { targetTilt: Number.NaN })).toThrow(/targetTilt/);
  });
});
