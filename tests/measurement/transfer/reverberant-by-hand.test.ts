import { describe, expect, test } from "vitest";
import { withReverberantPart } from "../../../lib/measurement/transfer/reverberant";
import { list } from "./few-samples";

/** At one frequency, so that there are no neighbours: |H|² = 25, averages of 100. */
const heard = (whole: number) => ({
  frequency: list(100),
  re: list(3),
  im: list(4),
  coherence: list(25 / whole),
  averages: list(100),
  whole: list(whole),
  wholeAverages: list(100),
  incoherent: list(whole - 25),
  gaps: list(0),
  alike: list(1),
  sent: list(1),
});

describe("the reverberant part", () => {
  test("is what of the power at the microphone the response does not explain, less the noise", () => {
    expect([...withReverberantPart(heard(50)).diffuse!]).toEqual([25]);
    expect(withReverberantPart(heard(50), list(4)).diffuse![0]).toBeCloseTo(21, 9);
  });

  test("leaves a hundredth of what was heard where all of it may be noise", () => {
    const { re, im, diffuse } = withReverberantPart(heard(500), list(500));
    expect([diffuse![0], Math.hypot(re[0], im[0]) ** 2]).toEqual([0, expect.closeTo(5, 9)]);
  });

  test("has an error of √((r² + 2 r c) / n) for c of sound and r of noise, and that of what it borrows from around", () => {
    // c = 46, r = 4: the noise; 21 of the sound are late: r = 25, c = 46 in all.
    const random = (25 * 25 + 2 * 25 * 46) / 100;
    const { powerError, wideError } = withReverberantPart(heard(50), list(4));
    const borrowed = random / (random + 46 ** 2);
    const around = borrowed ** 2 * (46 ** 2 + random + (0.4 * 46) ** 2);
    expect(powerError![0]).toBeCloseTo(Math.sqrt(borrowed * 46 ** 2 + around), 9);
    // Of a wide band the late sound counts as sound: r = 4 alone wavers.
    const own = (1 - borrowed) ** 2 * ((4 * 4 + 2 * 4 * 46) / 100) + (borrowed * 46) ** 2;
    expect(wideError![0]).toBeCloseTo(Math.sqrt(own + around), 9);
    // And what the signal leaves out, here a relative variance of 0.01.
    const sampled = withReverberantPart(heard(50), list(4), list(0.01));
    expect(sampled.powerError![0]).toBeCloseTo(Math.sqrt(borrowed * 46 ** 2 + around + 0.01 * 46 ** 2), 9);
    expect(sampled.wideError![0]).toBeCloseTo(Math.sqrt(own + around + 0.01 * 46 ** 2), 9);
  });
});
