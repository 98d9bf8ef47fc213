/** What the sentences say of surveys whose decision is known by hand: which are there, and with which figures. */
import { describe, expect, it } from "vitest";
import { levelOffset } from "../../../lib/decision/offset/offset";
import type { OffsetOptions } from "../../../lib/decision/offset/result";
import type { Survey } from "../../../lib/survey/survey";
import { banded, flat, frequency, position, ratios, survey } from "../synthetic";

const told = (s: Survey, options: OffsetOptions = {}) =>
  levelOffset(s, { targetTilt: 0, ...options }).reasons.join("\n");

describe("the sentences of an offset", () => {
  it("say how far to turn the subs, and which way", () => {
    expect(told(ratios([-4]))).toContain("4.0 dB above");
    expect(told(ratios([4]))).toContain("4.0 dB below");
    expect(told(ratios([0]))).toContain("at their current level");
    expect(told(ratios([0.04]))).toContain("at their current level");
    expect(told(ratios([-0.06]))).toContain("0.1 dB above");
  });

  it("say who has more bass, front or back, from half a decibel on", () => {
    expect(told(ratios([3, 0, -3]))).toContain("front row still has 6.0 dB more");
    expect(told(ratios([-3, 0, 3]))).toContain("back row has 6.0 dB more");
    for (const front of [0.4, -0.4]) expect(told(ratios([front, 0]))).toContain("same balance");
    expect(told(ratios([0.6, 0]))).toContain("front row still has 0.6 dB");
    expect(told(ratios([0, 0.6]))).toContain("back row has 0.6 dB");
  });

  it("name a part whose wish costs the audience something, and no other", () => {
    // The middle wants what all want; front and back cost √(72/3 + 36) − √24 dB.
    const words = told(ratios([6, 0, -6]));
    expect(words).toContain("The front row alone would need −6.0 dB");
    expect(words).toContain("The back row alone would need +6.0 dB");
    expect(words).toMatch(/costs the audience 2\.8 dB more/);
    expect(words).not.toContain("The middle alone");
  });

  it("say that a limit decides, and what the audience would want without it", () => {
    const words = told(ratios([-9]), { limits: { headroom: 3 } });
    expect(words).toContain("would need +9.0 dB");
    expect(told(ratios([-9]), { limits: { headroom: 10 } })).not.toContain("The limit is");
  });

  it("say that the best lies at an end of the range, and only then", () => {
    expect(told(ratios([-40]))).toContain("end of the range");
    expect(told(ratios([40]))).toContain("end of the range");
    expect(told(ratios([-4]))).not.toContain("end of the range");
  });

  it("name the third octave that differs most from seat to seat", () => {
    // Alike but around 50 Hz, where they stand 6 dB apart: a standard deviation of 3 dB.
    const boosted = (db: number) => {
      const near = (f: number) => f > 44 && f < 57;
      const keep = (x: Float64Array) => x.map((v, i) => (near(frequency[i]) ? v * 10 ** (db / 20) : v));
      const r = banded(flat(0), 0, 120);
      return { ...r, re: keep(r.re) };
    };
    const s = ratios([0, 0]);
    expect(told({ ...s, subs: [boosted(6), boosted(0)] })).toMatch(/around 50 Hz \((2\.[89]|3\.0) dB/);
  });

  it("tell of positions without phase, of either part, and of none where all have one", () => {
    const s = ratios([0, 0, 0]);
    const blind = <T extends object>(list: readonly T[], at: number) =>
      list.map((r, i) => (i === at ? { ...r, magnitudeOnly: true } : r));
    const words = told({ ...s, mains: blind(s.mains, 0), subs: blind(s.subs, 2) });
    expect(words).toContain('No phase at "p0" and "p2"');
    expect(told(s)).not.toContain("No phase");
  });

  it("give the interval where the noise is known, and say where the averages are missing", () => {
    const s = ratios([0, 2]);
    const fill = (x: number) => new Float64Array(frequency.length).fill(x);
    const heard = (more: object) => ({
      ...s,
      mains: s.mains.map((r) => ({ ...r, coherence: fill(0.9), ...more })),
    });
    expect(told(heard({ averages: fill(8) }))).toContain("(90 % confidence)");
    const unknown = told(heard({}));
    expect(unknown).toContain("averages is not known");
    expect(unknown).not.toContain("confidence");
    expect(told(s)).not.toContain("averages");
    expect(told({ ...heard({}), quantity: "pressure" })).not.toContain("averages is");
  });

  it("name positions that are left out for want of coherence", () => {
    const s = ratios([0, 2, 12]);
    const subs = s.subs.map((r, i) => ({
      ...r,
      coherence: new Float64Array(frequency.length).fill(i === 2 ? 0.1 : 0.9),
    }));
    expect(told({ ...s, subs }, { coherenceLimit: 0.5 })).toContain('"p2" is not coherent enough');
    expect(told({ ...s, subs })).not.toContain("not coherent enough");
  });

  it.each([
    // NIOSH 98-126, table 1-1: 85 dB(A) 8 hours, 91 dB(A) 2 hours, 94 dB(A) 1 hour, 100 dB(A) 15 minutes, 124 dB(A) 3 s.
    [84, "a whole working day"],
    [91, "2.0 hours"],
    [94.01, "60 minutes"],
    [93.99, "1.0 hours"],
    [100, "15 minutes"],
    [124, "1 minutes"],
  ])("say how long %d dB(A) is allowed at the front row: %s", (level, time) => {
    const pascals = (x: number) => flat(x + 20 * Math.log10(20e-6));
    const s = survey(
      [position("front"), position("back", { x: 20 })],
      [0, 0].map(() => banded(pascals(60), 120, 20000)),
      [0, 0].map(() => banded(pascals(90), 0, 120)),
      "pressure",
    );
    const words = told(s, {
      targetTilt: 99,
      range: [-60, 80],
      limits: { frontLevel: { level, weighting: "A" } },
    });
    expect(words).toContain(`for ${time}`);
    expect(told(ratios([0]))).not.toContain("dB(A)");
  });
});
