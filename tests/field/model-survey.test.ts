import { describe, expect, it } from "vitest";
import { referencePressure } from "../../lib/acoustics/level/decibel";
import { modelFrequencies } from "../../lib/field/frequencies";
import { modelSurvey, responseOf } from "../../lib/field/model-survey";
import type { FieldOptions } from "../../lib/field/options";
import type { Source, Venue } from "../../lib/venue/venue";
import { expectAgreement } from "../acoustics/deviation";
import { at, decibels, source, venue, wall } from "./venues";

/** Speed of sound at 20 °C, ISO 9613-1: 343.2 m/s. */
const C = 343.2;

function subs(
  v: Venue,
  position: readonly [number, number, number],
  frequency: readonly number[],
  options: FieldOptions = {},
) {
  const { subs } = modelSurvey(v, [at(...position)], { frequency: Float64Array.from(frequency), ...options });
  return Array.from(subs[0].frequency, (_, i) => ({ re: subs[0].re[i], im: subs[0].im[i] }));
}

const levels = (...args: Parameters<typeof subs>) => subs(...args).map(({ re, im }) => decibels(re, im));

describe("a source in free field", () => {
  it("has its stated level at 1 m and 6.02 dB less at each doubling", () => {
    const v = venue({ sources: [source({ x: 0, y: 0, z: 0 })] });
    const one = levels(v, [1, 0, 0], [50]);
    expect(one[0] - 20 * Math.log10(referencePressure)).toBeCloseTo(94, 3);
    expect(one[0] - levels(v, [2, 0, 0], [50])[0]).toBeCloseTo(6.02, 2);
    expect(one[0] - levels(v, [0, 9.5, 0], [50])[0]).toBeCloseTo(19.55, 1);
  });

  it("turns back by a whole turn per wavelength, and later by its delay; polarity turns it over", () => {
    const quarter = C / 4 / 50;
    const [a] = subs(venue({ sources: [source({ x: 0, y: 0, z: 0 })] }), [2 + quarter, 0, 0], [50]);
    const [b] = subs(venue({ sources: [source({ x: 0, y: 0, z: 0 }, { delay: 0.005 })] }), [2, 0, 0], [50]);
    const [c] = subs(venue({ sources: [source({ x: 0, y: 0, z: 0 }, { polarity: -1 })] }), [2, 0, 0], [50]);
    const [d] = subs(venue({ sources: [source({ x: 0, y: 0, z: 0 })] }), [2, 0, 0], [50]);
    const phase = (z: { re: number; im: number }) => (Math.atan2(z.im, z.re) * 180) / Math.PI;
    const turn = (x: number) => ((x % 360) + 360) % 360;
    expect(turn(phase(a) - phase(d))).toBeCloseTo(270, 2);
    expect(turn(phase(b) - phase(d))).toBeCloseTo(270, 2);
    expect(turn(phase(c) - phase(d))).toBeCloseTo(180, 2);
  });

  it("loses what ISO 9613-1 says on the whole way over a wall: 76.6 dB/km at 8 kHz, 20 °C, 70 %", () => {
    // ISO 9613-1 table 1 (from memory): 20 °C, 70 %: 8 kHz 76.6 dB/km, at the exact mid-band frequency 7943.28 Hz.
    const air = { temperature: 20, relativeHumidity: 70, pressure: 101.325 };
    const v = venue({ air, sources: [source({ x: 50, y: 0, z: 0 })], boundaries: [wall("x", 100)] });
    const both = (options: FieldOptions) =>
      subs(v, [0, 0, 0], [7943.28], { finiteSize: false, ...options })[0];
    const [direct, whole] = [both({ order: 0 }), both({ order: 1 })];
    const reflected =
      decibels(whole.re - direct.re, whole.im - direct.im) - 20 * Math.log10(referencePressure);
    expectAgreement("air, dB in 150 m", [[94 - 20 * Math.log10(150) - reflected, 0.15 * 76.6]], 0.05);
  });
});

describe("a place on the source itself", () => {
  it("has the level of a tenth of a metre, 20 dB above that at 1 m, as on the axis", () => {
    for (const pattern of [{ kind: "omni" }, { kind: "first-order", a: 0.5 }] as const) {
      const v = venue({ sources: [source({ x: 3, y: 1, z: 2 }, { pattern })] });
      const level = (x: number) => levels(v, [x, 1, 2], [50])[0] - 20 * Math.log10(referencePressure);
      expect(level(3)).toBeCloseTo(114, 3);
      expect(level(3.05)).toBeCloseTo(114, 3);
      expect(level(3.2)).toBeCloseTo(94 + 13.979, 3);
    }
  });
});

describe("one hard wall", () => {
  it("adds the mirror image: closed form of two coherent arrivals", () => {
    const v = venue({ sources: [source({ x: 0, y: 0, z: 2 })], boundaries: [wall("z", 0)] });
    const frequency = [31.5, 63, 125, 250, 500];
    const [r1, r2] = [Math.hypot(10, 1), Math.hypot(10, 3)];
    const pairs = levels(v, [10, 0, 1], frequency).map((level, i) => {
      // |1/r1 + e^{-jkd}/r2|² = 1/r1² + 1/r2² + 2 cos(kd)/(r1 r2), the law of two-beam interference.
      const square =
        1 / r1 ** 2 + 1 / r2 ** 2 + (2 * Math.cos((2 * Math.PI * frequency[i] * (r2 - r1)) / C)) / (r1 * r2);
      return [level - (94 + 20 * Math.log10(referencePressure)), 10 * Math.log10(square)] as const;
    });
    expectAgreement("two arrivals, dB", pairs, 0.05);
  });

  it("makes 6.02 dB of a sub that stands on it", () => {
    const free = venue({ sources: [source({ x: 0, y: 0, z: 0 })] });
    const ground = venue({ sources: [source({ x: 0, y: 0, z: 0 })], boundaries: [wall("z", 0)] });
    const gain = levels(ground, [8, 0, 0.5], [40])[0] - levels(free, [8, 0, 0.5], [40])[0];
    expect(gain).toBeCloseTo(6.02, 2);
  });

  it("reflects √(1 − α) of the pressure, straight over log frequency between bands", () => {
    const absorption = { frequency: [125, 500], value: [0.2, 0.6] };
    const v = venue({
      sources: [source({ x: 5, y: 0, z: 0 })],
      boundaries: [wall("x", 0, 2000, absorption)],
    });
    const part = (f: number) => {
      const [all] = subs(v, [10, 0, 0], [f], { order: 1 });
      const [direct] = subs(v, [10, 0, 0], [f], { order: 0 });
      return Math.hypot(all.re - direct.re, all.im - direct.im) / Math.hypot(direct.re, direct.im);
    };
    // Three times the distance. α = 0.2 gives 0.894; halfway in log frequency α = 0.4 gives 0.775.
    expect(part(100) * 3).toBeCloseTo(0.894, 2);
    expect(part(250) * 3).toBeCloseTo(0.775, 2);
    expect(part(800) * 3).toBeCloseTo(0.632, 2);
  });

  it("mirrors the pattern: a cardioid that faces it sends its front over the wall", () => {
    // Cardioid on its axis 1, straight behind 0: only the reflection arrives behind it.
    const cardioid = { kind: "first-order", a: 0.5 } as const;
    const facing = source({ x: 3, y: 0, z: 0 }, { pattern: cardioid, axis: { x: -1, y: 0, z: 0 } });
    const v = venue({ sources: [facing], boundaries: [wall("x", 0)] });
    const level = levels(v, [9, 0, 0], [60])[0] - 20 * Math.log10(referencePressure);
    expect(level).toBeCloseTo(94 - 20 * Math.log10(3 + 9), 1);
  });

  it("cancels before a sub a quarter wavelength away: about 52 Hz for 1.65 m (common practice, no source)", () => {
    const v = venue({
      sources: [source({ x: 0, y: 0, z: 0 })],
      boundaries: [wall("x", -1.65), wall("z", 0)],
    });
    const frequency = Array.from({ length: 81 }, (_, i) => 30 + 0.5 * i);
    const all = levels(v, [15, 0, 1.2], frequency);
    const dip = frequency[all.indexOf(Math.min(...all))];
    expect(dip).toBeGreaterThan(51);
    expect(dip).toBeLessThan(53);
    // As deep as one arrival 3.3 m farther on 15 m allows: (18.3 − 15)/18.3 of the direct sound, doubled by the floor.
    expect(Math.min(...all) - 20 * Math.log10(referencePressure)).toBeLessThan(
      94 + 6 - 20 * Math.log10(15) - 13,
    );
  });
});

describe("several subs", () => {
  const pair = (second: Partial<Source>, spacing: number) =>
    venue({
      sources: [source({ x: 0, y: 0, z: 0 }), source({ x: -spacing, y: 0, z: 0 }, { id: "rear", ...second })],
    });
  const far = 1e5;

  it.each([
    [0, 6.02],
    [1 / 4, 3.01],
    [1 / 3, 0],
    [1, 6.02],
  ])("at a spacing of %f wavelengths sum along their line by two-source interference", (waves, gain) => {
    const frequency = 50;
    const v = pair({}, (waves * C) / frequency);
    const one = venue({ sources: [source({ x: 0, y: 0, z: 0 })] });
    expect(levels(v, [far, 0, 0], [frequency])[0] - levels(one, [far, 0, 0], [frequency])[0]).toBeCloseTo(
      gain,
      2,
    );
    expect(levels(v, [0, far, 0], [frequency])[0] - levels(one, [0, far, 0], [frequency])[0]).toBeCloseTo(
      6.02,
      2,
    );
  });

  it("end-fire: a quarter wavelength apart, the front one later by the way between, +6 dB ahead and nothing behind", () => {
    const frequency = 60;
    const spacing = C / 4 / frequency;
    const v = venue({
      sources: [
        source({ x: 0, y: 0, z: 0 }, { delay: spacing / C }),
        source({ x: -spacing, y: 0, z: 0 }, { id: "rear" }),
      ],
    });
    const one = levels(venue({ sources: [source({ x: 0, y: 0, z: 0 })] }), [far, 0, 0], [frequency])[0];
    expect(levels(v, [far, 0, 0], [frequency])[0] - one).toBeCloseTo(6.02, 2);
    expect(levels(v, [-far, 0, 0], [frequency])[0] - one).toBeLessThan(-60);
  });

  it("gradient pair: the rear one reversed and later by the way between, nothing behind at any frequency", () => {
    const spacing = 1.2;
    const v = pair({ polarity: -1, delay: spacing / C }, spacing);
    const one = levels(venue({ sources: [source({ x: 0, y: 0, z: 0 })] }), [far, 0, 0], [40, 60])[0];
    for (const level of levels(v, [-far, 0, 0], [40, 60, 80])) expect(level - one).toBeLessThan(-55);
    // Ahead the pair gives 2 sin(k d) of one, at its best where the spacing is a quarter wavelength.
    const best = C / (4 * spacing);
    const alone = venue({ sources: [source({ x: 0, y: 0, z: 0 })] });
    const gain = (f: number) => levels(v, [far, 0, 0], [f])[0] - levels(alone, [far, 0, 0], [f])[0];
    expect(gain(best)).toBeCloseTo(6.02, 2);
    expect(gain(best / 3)).toBeCloseTo(0, 2);
  });
});

describe("a model survey", () => {
  const v = venue({
    sources: [
      source({ x: 0, y: 3, z: 6 }, { id: "main", group: "mains" }),
      source({ x: 0, y: -3, z: 0.3 }, { id: "sub" }),
    ],
    boundaries: [wall("z", 0, 30)],
    room: { volume: 4000, surface: 1700, reverberationTime: { frequency: [125, 1000], value: [1.6, 1.2] } },
  });
  const positions = [at(5, 0, 1.2), at(12, 4, 1.2)];

  it("holds mains and subs in pascals on 240 frequencies, and fills only where there are some", () => {
    const survey = modelSurvey(v, positions);
    expect(survey.quantity).toBe("pressure");
    expect(survey.frequency.length).toBe(240);
    expect([survey.frequency[0], survey.frequency[239]]).toEqual([20, 16000]);
    expect([survey.mains.length, survey.subs.length, survey.fills]).toEqual([2, 2, undefined]);
    const filled = {
      ...v,
      sources: [...v.sources, source({ x: 0, y: 0, z: 1 }, { id: "fill", group: "fills" })],
    };
    expect(modelSurvey(filled, positions).fills?.length).toBe(2);
  });

  it("has a coherence of |coherent|² over all power, 0 where nothing sounds", () => {
    const of = (re: number, im: number, diffuse: number) =>
      responseOf(Float64Array.of(50), Float64Array.of(re), Float64Array.of(im), Float64Array.of(diffuse))
        .coherence?.[0];
    expect(of(3, 4, 25)).toBeCloseTo(0.5, 12);
    expect(of(1, -2, 15)).toBeCloseTo(0.25, 12);
    expect(of(1, 0, 0)).toBe(1);
    expect(of(0, 0, 0)).toBe(0);
    expect(of(0, 0, 2)).toBe(0);
  });

  it("follows subs over two walls, mains over one, and all over as many as told", () => {
    const two = { ...v, boundaries: [wall("z", 0), wall("x", -2)], room: undefined };
    const frequency = Float64Array.of(40, 90);
    const of = (group: "mains" | "subs", options: FieldOptions) =>
      modelSurvey(two, positions, { frequency, ...options })[group][0].re;
    expect(of("subs", {})).toEqual(of("subs", { order: 2 }));
    expect(of("subs", {})).not.toEqual(of("subs", { order: 1 }));
    expect(of("mains", {})).toEqual(of("mains", { order: 1 }));
    expect(of("mains", {})).not.toEqual(of("mains", { order: 2 }));
  });

  it("takes finite walls for endless ones where told so, sharply bounded", () => {
    const small = { ...v, boundaries: [wall("z", 0, 6)], room: undefined };
    const endless = { ...small, boundaries: [wall("z", 0)] };
    const at = (venue: Venue, finiteSize: boolean) =>
      modelSurvey(venue, positions, { frequency: Float64Array.of(40, 90), finiteSize }).subs[0].re;
    expect(at(small, false)).toEqual(at(endless, false));
    expect(at(small, true)).not.toEqual(at(small, false));
  });

  it("leaves out reflections of a sub only 120 dB below its loudest", () => {
    // Behind a lowpass of order 8 at 50 Hz the power is 120 dB down at 50 Hz · 10^(120/160) = 281 Hz.
    const lowpass = { kind: "butterworth", order: 8, type: "lowpass", frequency: 50 } as const;
    const frequency = Float64Array.from({ length: 64 }, (_, i) => 20 * 1.08 ** i);
    const of = (boundaries: Venue["boundaries"]) =>
      modelSurvey(
        venue({ sources: [source({ x: 0, y: 0, z: 2 }, { filters: [lowpass] })], boundaries }),
        [at(8, 0, 1)],
        { frequency },
      ).subs[0];
    const [bare, walled] = [of([]), of([wall("z", 0)])];
    const changed = frequency.filter((_, f) => bare.re[f] !== walled.re[f]);
    // In whole blocks of eight frequencies.
    expect(changed[changed.length - 1]).toBeGreaterThan(281 / 1.08);
    expect(changed[changed.length - 1]).toBeLessThan(281 * 1.08 ** 8);
    expect(changed.length).toBe(frequency.indexOf(changed[changed.length - 1]) + 1);
  });

  it("predicts a coherence between 0 and 1 that falls with distance, and none outdoors", () => {
    const [near, away] = modelSurvey(v, positions, { order: 0 }).mains;
    near.coherence?.forEach((x, i) => {
      expect(x).toBeLessThan(1);
      expect(away.coherence?.[i]).toBeLessThan(x);
    });
    expect(modelSurvey({ ...v, room: undefined }, positions).mains[0].coherence).toBeUndefined();
    expect(modelSurvey(v, positions, { diffuse: "none" }).mains[0].diffuse).toBeUndefined();
  });

  it("keeps each position's own values: half at twice the distance, diffuse sound less by 0.04 r/T in the exponent", () => {
    // Barron and Lee (1988): reflected energy falls as e^{-0.04 r/T} (from memory).
    const hall = { ...v, sources: [source({ x: 0, y: 0, z: 1 })], boundaries: [] };
    const far = [at(10, 0, 1), at(20, 0, 1), at(40, 0, 1)];
    const [one, two, four] = modelSurvey(hall, far, { frequency: Float64Array.of(125) }).subs;
    const size = (r: typeof one) => Math.hypot(r.re[0], r.im[0]);
    expect(size(one) / size(two)).toBeCloseTo(2, 2);
    expect(size(two) / size(four)).toBeCloseTo(2, 2);
    const [a, b, c] = [one, two, four].map((r) => (r.diffuse as Float64Array)[0]);
    expect(b / a).toBeCloseTo(Math.exp((-0.04 * 10) / 1.6), 2);
    expect(c / b).toBeCloseTo(Math.exp((-0.04 * 20) / 1.6), 2);
    expect(two.re[0]).not.toBeCloseTo(one.re[0] / 2, 3);
  });

  it("leaves to diffuse sound what paths over half of the room's surface do not carry: 3/4 at α = ½ and order 1", () => {
    // By Eyring e^{-kV/S} = ½. Paths of order 1 carry ½ · ½ of what all orders carry, ½ + ¼ + … = 1.
    const [volume, surface] = [6000, 2200];
    const time = (24 * Math.LN10 * volume) / (C * surface * Math.LN2);
    const floor = (x: number, y: number, z: number): Venue["boundaries"][number] => ({
      name: "floor",
      corners: [
        { x: 0, y: 0, z },
        { x, y: 0, z },
        { x, y, z },
        { x: 0, y, z },
      ],
      absorption: { frequency: [1000], value: [0.5] },
    });
    const hall = {
      ...v,
      room: { volume, surface, reverberationTime: { frequency: [1000], value: [time] } },
      boundaries: [floor(20, 30, 0), floor(25, 20, 9)],
    };
    const diffuse = (order: number) =>
      (
        modelSurvey(hall, positions, { frequency: Float64Array.of(100), order }).subs[0]
          .diffuse as Float64Array
      )[0];
    expect(diffuse(1) / diffuse(0)).toBeCloseTo(3 / 4, 4);
  });

  it("shadows behind walls and hears cavities unless told not to", () => {
    const frequency = Float64Array.of(60);
    const edge = {
      ...v,
      sources: [source({ x: 0, y: 0, z: 2000 })],
      boundaries: [wall("x", 5)],
      room: undefined,
    };
    const level = (more: FieldOptions) => {
      const { re, im } = modelSurvey(edge, [at(10, 0, 2000)], { frequency, order: 0, ...more }).subs[0];
      return decibels(re[0], im[0]);
    };
    // The edge of a large hard wall on the line of sight, 5 m from either: Macdonald's half plane (scripts/reference/field_hard_edge.py).
    expect(level({}) - level({ obstruction: false })).toBeCloseTo(-4.49, 1);
    expect(level({})).toBe(level({ obstruction: true }));
    const opening: Venue["cavities"][number]["opening"] = [
      { x: -1, y: 6, z: 0 },
      { x: -1, y: -6, z: 0 },
      { x: -1, y: -6, z: 1.2 },
      { x: -1, y: 6, z: 1.2 },
    ];
    const absorption = { frequency: [100], value: [0.1] };
    const hollow: Venue = {
      ...v,
      boundaries: [wall("z", 0), wall("x", -1)],
      cavities: [{ name: "under the stage", opening, depth: 3, absorption }],
    };
    const of = (more: FieldOptions) => modelSurvey(hollow, positions, { frequency, ...more }).subs[0].re[0];
    expect(of({})).toBe(of({ cavities: true }));
    expect(of({})).not.toBe(of({ cavities: false }));
  });

  it("refuses frequencies out of order and a broken order of reflections, by name", () => {
    const frequency = Float64Array.of(100, 50);
    expect(() => modelSurvey(v, positions, { frequency })).toThrow(/frequency\[1\] is 50 after 100/);
    expect(() => modelSurvey(v, positions, { frequency: Float64Array.of(100, 100) })).toThrow(
      /frequency\[1\] is 100 after 100/,
    );
    expect(() => modelSurvey(v, positions, { order: -1 })).toThrow(/order of reflections is -1/);
  });

  it("has frequencies in equal ratios", () => {
    const f = modelFrequencies();
    const ratio = f[1] / f[0];
    for (let i = 1; i < f.length; i++) expect(f[i] / f[i - 1]).toBeCloseTo(ratio, 9);
  });
});
