/** Levels of a microphone that is carried: those put in, with noise told apart and nothing said where it hides them. */
import { describe, expect, it } from "vitest";
import { levelsOverTime } from "../../lib/measurement/levels-over-time";
import { normal } from "../../lib/numeric/random";

const sampleRate = 13_000;
const seconds = 24;
const bands = [
  [28.2, 89.1],
  [447, 2239],
] as const;
const random = normal(21);
/** White noise after two seconds of quiet. */
const sent = Float64Array.from({ length: seconds * sampleRate }, (_, n) =>
  n < 2 * sampleRate ? 0 : random(),
);
/** 0.1 s late, softer by half a decibel a second from the start on. */
const gain = (t: number) => 10 ** (-0.5 * (t / 20));
const late = 1300;
const heardWith = (noise: number) => {
  const own = normal(5);
  return sent.map((_, n) => gain(n / sampleRate) * (sent[n - late] ?? 0) + noise * own());
};

/** Largest and root mean square difference from what was put in, from 4 to 22 s. */
function off(levels: Float64Array, time: Float64Array) {
  const found = [...time.keys()]
    .filter((i) => time[i] > 4 && time[i] < 22)
    .map((i) => levels[i] - 20 * Math.log10(gain(time[i] + late / sampleRate)));
  return {
    worst: Math.max(...found.map(Math.abs)),
    rms: Math.sqrt(found.reduce((sum, x) => sum + x * x, 0) / found.length),
  };
}

describe("levels over time", () => {
  it("are those put in, a decibel in two seconds", () => {
    const { time, levels } = levelsOverTime(sent, heardWith(0), sampleRate, bands);
    expect(off(levels[0], time).worst).toBeLessThan(0.4);
    expect(off(levels[1], time).worst).toBeLessThan(0.1);
  });

  it("are free of noise that the quiet before tells, within their stated errors", () => {
    const { time, levels, errors } = levelsOverTime(sent, heardWith(0.15), sampleRate, bands);
    const typical = (values: Float64Array) => values.filter(Number.isFinite).sort()[values.length >> 1];
    for (const b of [0, 1]) expect(off(levels[b], time).rms).toBeLessThan(1.5 * typical(errors[b]));
  });

  it("are not said while nothing is sent, and where noise hides them", () => {
    const { time, levels } = levelsOverTime(sent, heardWith(2), sampleRate, bands);
    expect(levels[1].every(Number.isNaN)).toBe(true);
    const quiet = levelsOverTime(sent, heardWith(0), sampleRate, bands);
    expect(quiet.levels[1][0]).toBeNaN();
    expect(time[0]).toBeLessThan(0.3);
  });
});
