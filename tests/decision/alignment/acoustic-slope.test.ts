import { describe, expect, it } from "vitest";
import { filterResponse } from "../../../lib/acoustics/filters/response";
import { electricFilterFor } from "../../../lib/decision/alignment/acoustic-slope";
import { flat, frequency } from "../synthetic";

// A Linkwitz-Riley slope of fourth order is two Butterworth slopes of second order in series (Linkwitz 1976): a
// loudspeaker that has one of them needs the other.
describe("the electric filter for an acoustic slope", () => {
  const target = { kind: "linkwitz-riley", type: "highpass", order: 4, frequency: 90 } as const;
  it("of a loudspeaker with a Butterworth highpass of its own is another Butterworth highpass", () => {
    const own = filterResponse({ kind: "butterworth", type: "highpass", order: 2, frequency: 90 }, frequency);
    const [best] = electricFilterFor({ frequency, ...own }, target).choices;
    expect(best.filter).toMatchObject({ kind: "butterworth", order: 2, type: "highpass" });
    expect(best.filter?.frequency).toBeCloseTo(90, 2);
    expect(best.rms_db).toBeLessThan(1e-3);
    expect(best.phase_deg).toBeLessThan(0.1);
    expect(best.gain_db).toBeCloseTo(0, 3);
  });
  it("of a flat loudspeaker is the slope itself, whatever its level and distance", () => {
    const far = {
      frequency,
      ...filterResponse(
        [
          { kind: "gain", gain: -17 },
          { kind: "delay", delay: 0.021 },
        ],
        frequency,
      ),
    };
    const [best] = electricFilterFor(far, target).choices;
    expect(best.filter).toMatchObject({ kind: "linkwitz-riley", order: 4 });
    expect(best.gain_db).toBeCloseTo(17, 3);
    expect(best.phase_deg).toBeLessThan(1);
  });
  it("is none where the loudspeaker has the slope already", () => {
    const own = filterResponse(target, frequency);
    const [best] = electricFilterFor({ frequency, ...own }, target).choices;
    expect(best.filter).toBeNull();
  });
  it("is refused where the response has no frequencies", () => {
    expect(() => electricFilterFor(flat(0), { ...target, frequency: 40 }, { band: [1, 2] })).toThrow(
      /at least 4/,
    );
  });
});
