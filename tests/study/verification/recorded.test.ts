/** A verification from its recording: closed forms of mains and subs, changed by hand. */
import { describe, expect, it } from "vitest";
import { measureShow } from "../../../lib/study/measure";
import { readShow } from "../../../lib/study/read-show";
import { verifyStudy } from "../../../lib/study/verification/verify-study";
import { inShow, type Path, pathsOf, positions, type SyntheticTake } from "../synthetic-show";

const mains: SyntheticTake = { playing: "mains", recording: "mains.wav", paths: pathsOf("mains"), seed: 1 };
const subs: SyntheticTake = { playing: "subs", recording: "subs.wav", paths: pathsOf("subs"), seed: 2 };
/** Subs 4 dB louder and 3 ms later, as it is to be entered. */
const entered = { subs: { level: 4, delay: 3 } };

/** Mains and subs together, the subs by a factor and later by seconds. */
function together(gain: number, late: number, more: Partial<SyntheticTake> = {}): SyntheticTake {
  const changed = (path: Path): Path => ({ ...path, gain: gain * path.gain, delay: path.delay + late });
  const paths = Object.fromEntries(
    positions.map((id) => [id, [...mains.paths[id], ...subs.paths[id].map(changed)]]),
  );
  return { playing: "both", recording: "verified.wav", paths, seed: 3, entered, ...more };
}

const asEntered = 10 ** (4 / 20);
const verified = (take: SyntheticTake) =>
  inShow([mains, subs, take], (folder) => {
    const show = readShow(folder);
    const measurement = measureShow(show);
    const answer = { offset: { offset_db: 0 }, setting: { polarity: 1, delay_ms: 0 } } as never;
    return { measurement, ...verifyStudy({ show, measurement, answer })! };
  });

describe("a take after the setting was entered", () => {
  it("reaches what mains and subs let expect, at each third octave of each position", () => {
    const { state, causes, positions: told, warnings } = verified(together(asEntered, 0.003));
    expect([state, causes, warnings]).toEqual(["reached", [], []]);
    for (const { thirds } of told) {
      expect(thirds.length).toBeGreaterThan(12);
      for (const { predicted_db, recorded_db } of thirds)
        expect(Math.abs(predicted_db - recorded_db)).toBeLessThan(0.3);
    }
  });

  it.each([
    ["polarity", together(-asEntered, 0.003)],
    ["delay not entered", together(asEntered, 0)],
    ["level of the other sign", together(1 / asEntered, 0.003)],
  ])("names the slip: %s", (kind, take) => {
    const { state, causes } = verified(take);
    expect(state).toBe("not reached");
    expect(causes.map((cause) => cause.kind)).toEqual([kind]);
  });

  it("names the position whose microphone is silent, and tells the others", () => {
    const {
      state,
      causes,
      positions: told,
    } = verified(together(asEntered, 0.003, { change: (x, id) => (id === "far" ? x.map(() => 0) : x) }));
    expect([state, causes]).toEqual(["reached", []]);
    expect(told.map((p) => p.state)).toEqual(["reached", "reached", "reached", "cannot be said"]);
    expect(told[3].why).toContain("channel 5");
  });

  it("changes nothing of what was measured before", () => {
    const before = inShow([mains, subs], (folder) => measureShow(readShow(folder)));
    const { measurement } = verified(together(-asEntered, 0.003));
    expect(measurement.survey!.subs).toEqual(before.survey!.subs);
    expect(measurement.warnings).toEqual(before.warnings);
    expect(measurement.problems).toEqual(before.problems);
  });
});
