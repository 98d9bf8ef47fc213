/** Responses of Butterworth filters by their textbook magnitude, 1 / √(1 + (f / fc)^2n), at places of random phase. */
import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { whatPlays } from "../../../lib/measurement/health/what-plays";
import { seeded } from "../seeded";

const frequency = logGrid(20, 8000, 200);
const lowpass =
  (fc: number, n = 4) =>
  (f: number) =>
    1 / Math.sqrt(1 + (f / fc) ** (2 * n));
const highpass =
  (fc: number, n = 4) =>
  (f: number) =>
    1 / Math.sqrt(1 + (fc / f) ** (2 * n));
const noise = 1e-3;

/** What a group does at five positions, with the phase and level that a room gives it. */
function group(magnitude: (f: number) => number, seed: number): Response[] {
  return [1, 2, 3, 4, 5].map((place) => {
    const random = seeded(100 * seed + place);
    const phase = frequency.map(() => 2 * Math.PI * random.uniform());
    const level = frequency.map(() => 0.5 + random.uniform());
    const re = frequency.map((f, i) => level[i] * magnitude(f) * Math.cos(phase[i]) + noise);
    const im = frequency.map((f, i) => level[i] * magnitude(f) * Math.sin(phase[i]));
    const coherence = frequency.map((_, i) => {
      const square = re[i] ** 2 + im[i] ** 2;
      return Math.max(1 / 200, square / (square + noise ** 2 * 100));
    });
    return { frequency, re, im, coherence, averages: frequency.map(() => 200) };
  });
}
const plus = (a: readonly Response[], b: readonly Response[], by = 1) =>
  a.map((x, i) => ({
    ...x,
    re: x.re.map((v, k) => v + by * b[i].re[k]),
    im: x.im.map((v, k) => v + by * b[i].im[k]),
    coherence: x.coherence!.map((v, k) => Math.max(v, b[i].coherence![k])),
  }));
const told = (mains: readonly Response[], subs: readonly Response[]) =>
  whatPlays(mains.map((m, i) => ({ mains: m, subs: subs[i] }))).join("\n");

const mains = group(highpass(90), 1);
const subs = group((f) => 3 * lowpass(90)(f), 2);

describe("what plays in the takes of mains and subs", () => {
  it("is no matter where it is as labelled, with mains of full range as well", () => {
    expect(told(mains, subs)).toBe("");
    expect(
      told(
        group(() => 1, 3),
        subs,
      ),
    ).toBe("");
    expect(
      told(
        mains,
        group((f) => 10 * lowpass(200)(f), 4),
      ),
    ).toBe("");
  });

  it("is swapped where the subs have the treble and the mains the bass", () => {
    expect(told(subs, mains)).toMatch(/mains and subs are likely swapped/);
  });

  it("lacks treble where the mains are cut off at 300 and at 700 Hz", () => {
    for (const fc of [300, 700])
      expect(
        told(
          group((f) => highpass(90)(f) * lowpass(fc)(f), 5),
          subs,
        ),
      ).toMatch(/mains have hardly any treble/);
  });

  it("has treble in the subs where they play 6 dB below the mains there", () => {
    expect(
      told(
        mains,
        plus(
          subs,
          group(() => 0.5, 6),
        ),
      ),
    ).toMatch(/subs have treble, \d dB below that of the mains/);
  });

  it("is the other group as well where one was left on", () => {
    expect(told(plus(mains, subs), subs)).toMatch(/take of the mains the subs are heard .* left on/);
    expect(told(mains, plus(subs, mains))).toMatch(/take of the subs the mains are heard .* left on/);
  });
});

it("mains left on in the take of the subs are named though they were turned down or up", () => {
  const mains = group(highpass(90), 1);
  const subs = group(lowpass(90), 2);
  for (const level of [-9, -6, -3, 0, 3]) {
    const said = whatPlays(
      mains.map((m, i) => ({ mains: m, subs: plus(subs, mains, 10 ** (level / 20))[i] })),
    );
    expect(said.join("\n")).toMatch(
      /in the take of the subs the mains are heard as in their own: they were likely left on/,
    );
  }
  expect(whatPlays(mains.map((m, i) => ({ mains: m, subs: subs[i] })))).toEqual([]);
});
