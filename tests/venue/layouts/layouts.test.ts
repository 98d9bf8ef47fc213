/**
 * Layouts against closed forms of arrays of equal point sources (Balanis, Antenna Theory, chapter 6, from memory; Olson,
 * Acoustical Engineering, gradient loudspeakers, from memory). The sums are the test's own.
 */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import * as layouts from "../../../lib/venue/layouts";
import type { Cabinet, Source } from "../../../lib/venue/venue";
import { dB, farPressure, pressure, SPEED_OF_SOUND } from "../free-field";

const cabinet: Cabinet = {
  level: { frequency: [100], level: [100] },
  pattern: { kind: "omni" },
  size: { width: 1, height: 0.6, depth: 0.8 },
};
const position = { x: 0, y: 0, z: 0 };
const common = { cabinet, position, speedOfSound: SPEED_OF_SOUND };
const lambda = (hz: number) => SPEED_OF_SOUND / hz;
const spacings = fc.double({ min: 0.3, max: 2, noNaN: true });
const lows = fc.double({ min: 25, max: 120, noNaN: true });

describe("a gradient pair", () => {
  test("leaves nothing straight behind at any frequency and spacing", () => {
    fc.assert(
      fc.property(spacings, lows, (spacing, hz) => {
        const { sources } = layouts.gradient({ ...common, spacing });
        expect(farPressure(sources, 180, hz)).toBeLessThan(1e-3);
      }),
    );
  });

  test("plays 6.02 dB over one cabinet in front at a quarter wavelength, as one at a twelfth and five twelfths, nothing at a half", () => {
    const spacing = 1;
    const { sources } = layouts.gradient({ ...common, spacing });
    expect(dB(farPressure(sources, 0, SPEED_OF_SOUND / 4))).toBeCloseTo(6.0206, 3);
    expect(dB(farPressure(sources, 0, SPEED_OF_SOUND / 12))).toBeCloseTo(0, 3);
    expect(dB(farPressure(sources, 0, (SPEED_OF_SOUND * 5) / 12))).toBeCloseTo(0, 3);
    expect(farPressure(sources, 0, SPEED_OF_SOUND / 2)).toBeLessThan(1e-3);
  });

  test("approaches the cardioid's half at the side as the spacing shrinks against the wavelength", () => {
    // (1 + cos θ)/2 of a cardioid: 0.5 at 90°, 0.75 at 60°, 0.25 at 120°
    const { sources } = layouts.gradient({ ...common, spacing: 0.02 });
    const front = farPressure(sources, 0, 30);
    expect(farPressure(sources, 90, 30) / front).toBeCloseTo(0.5, 3);
    expect(farPressure(sources, 60, 30) / front).toBeCloseTo(0.75, 3);
    expect(farPressure(sources, 120, 30) / front).toBeCloseTo(0.25, 3);
  });

  test("warns beyond five twelfths of the wavelength and not before", () => {
    const limit = (5 / 12) * lambda(80);
    expect(layouts.gradient({ ...common, spacing: limit * 0.999, upTo: 80 }).warnings).toEqual([]);
    const [warning] = layouts.gradient({ ...common, spacing: limit * 1.01, upTo: 80 }).warnings;
    expect(warning).toContain("at most 1.79 m up to 80 Hz");
  });
});

describe("a gradient triple", () => {
  test("is the square of the pair: four times one cabinet in front at a quarter wavelength, a quarter at the side", () => {
    const { sources } = layouts.gradient({ ...common, elements: 3, spacing: 1 });
    expect(farPressure(sources, 0, SPEED_OF_SOUND / 4)).toBeCloseTo(4, 3);
    expect(farPressure(sources, 180, 50)).toBeLessThan(2e-3);
    const tight = layouts.gradient({ ...common, elements: 3, spacing: 0.02 }).sources;
    // ((1 + cos 90°)/2)² = 0.25
    expect(farPressure(tight, 90, 30) / farPressure(tight, 0, 30)).toBeCloseTo(0.25, 2);
  });
});

describe("an end-fire row", () => {
  test("adds up in phase in front at every frequency and spacing", () => {
    fc.assert(
      fc.property(spacings, lows, fc.integer({ min: 2, max: 8 }), (spacing, hz, count) => {
        const { sources } = layouts.endFire({ ...common, count, spacing });
        expect(farPressure(sources, 0, hz) / count).toBeCloseTo(1, 3);
      }),
    );
  });

  test("cancels straight behind where the spacing is m/2n of a wavelength, and comes back whole at a half", () => {
    for (const count of [2, 3, 4, 6]) {
      const { sources } = layouts.endFire({ ...common, count, spacing: 1.2 });
      for (let m = 1; m < count; m++) {
        const hz = (m * SPEED_OF_SOUND) / (2 * count * 1.2);
        expect(farPressure(sources, 180, hz), `${count} cabinets, null ${m}`).toBeLessThan(1e-3 * count);
      }
      expect(farPressure(sources, 180, SPEED_OF_SOUND / 2.4)).toBeCloseTo(count, 2);
    }
  });

  test("warns beyond the last null behind: a quarter wavelength for two, three eighths for four", () => {
    const warned = (count: number, part: number) =>
      layouts.endFire({ ...common, count, spacing: part * lambda(60), upTo: 60 }).warnings.length;
    expect([warned(2, 0.249), warned(2, 0.251), warned(4, 0.374), warned(4, 0.376)]).toEqual([0, 1, 0, 1]);
  });
});

describe("a spaced line", () => {
  test("has its first null where the whole length, one spacing added, shifts by one wavelength", () => {
    // uniform array: n d sin θ = λ. Six cabinets 1.4 m apart at 80 Hz: sin θ = 4.29/8.4, θ = 30.71°
    const { sources } = layouts.line({ ...common, count: 6, spacing: 1.4 });
    expect(farPressure(sources, 30.71, 80)).toBeLessThan(0.01);
    expect(farPressure(sources, 0, 80)).toBeCloseTo(6, 4);
    expect(farPressure(sources, 15, 80)).toBeGreaterThan(2);
  });

  test("gets a second main lobe at 90° where the spacing reaches a wavelength", () => {
    const { sources } = layouts.line({ ...common, count: 5, spacing: lambda(100) });
    expect(farPressure(sources, 90, 100)).toBeCloseTo(5, 2);
  });

  test("warns beyond half a wavelength and not before", () => {
    const warned = (part: number) =>
      layouts.line({ ...common, count: 4, spacing: part * lambda(90), upTo: 90 }).warnings.length;
    expect([warned(0.499), warned(0.501)]).toEqual([0, 1]);
  });
});

describe("a delayed arc", () => {
  test("delays each cabinet by the travel from one point behind the line, which sees its ends under the opening angle", () => {
    // delays equal the travel times from that point up to a constant; the middle one is not delayed
    for (const degrees of [20, 60, 90, 140]) {
      const { sources } = layouts.arc({
        ...common,
        count: 9,
        spacing: 1.1,
        openingAngle: (degrees * Math.PI) / 180,
      });
      const half = 4.4; // from the middle to the outermost
      const behind = half / Math.tan((degrees / 2) * (Math.PI / 180));
      const travel = sources.map(
        (s) => Math.sqrt((s.point.x + behind) ** 2 + s.point.y ** 2) / SPEED_OF_SOUND,
      );
      const nearest = Math.min(...travel);
      sources.forEach((s, i) => {
        expect(s.delay).toBeCloseTo(travel[i] - nearest, 9);
      });
    }
  });

  test("keeps the level at the edge of the opening where a straight line has lost it", () => {
    // A long line in wavelengths: 24 cabinets 0.8 m apart at 120 Hz are 6.4 wavelengths.
    const many = { ...common, count: 24, spacing: 0.8 };
    const bent = layouts.arc({ ...many, openingAngle: Math.PI / 2 }).sources;
    const straight = layouts.line(many).sources;
    const down = (sources: readonly Source[], at: number) => {
      const power = (a: number) => farPressure(sources, a, 120) ** 2;
      const around = [-3, -2, -1, 0, 1, 2, 3].reduce((sum, d) => sum + power(at + d), 0) / 7;
      const middle = [-10, -5, 0, 5, 10].reduce((sum, d) => sum + power(d), 0) / 5;
      return 10 * Math.log10(around / middle);
    };
    expect(down(bent, 30)).toBeGreaterThan(-4);
    expect(down(bent, 75)).toBeLessThan(down(bent, 30) - 3);
    expect(down(straight, 30)).toBeLessThan(-9);
  });

  test("warns beyond half a wavelength, also where it steers far", () => {
    const warned = (part: number, angle: number) =>
      layouts.arc({ ...common, count: 4, spacing: part * lambda(80), upTo: 80, openingAngle: angle }).warnings
        .length;
    // λ/(1 + sin θ) stays above λ/2 for every θ under 90°, so half a wavelength is what rules
    expect([warned(0.499, 0.5), warned(0.501, 0.5), warned(0.499, 3), warned(0.51, 3)]).toEqual([0, 1, 0, 1]);
  });

  test("refuses an opening angle of half a turn or more", () => {
    expect(() => layouts.arc({ ...common, count: 4, spacing: 1, openingAngle: Math.PI })).toThrow(
      /openingAngle is 3.14.*expected radians more than 0/,
    );
  });
});

describe("a left/right pair", () => {
  const at = { ...common, position: { x: 0, y: 5, z: 0 } };

  test("adds 6.02 dB on the centre line at every frequency", () => {
    const { sources } = layouts.pair(at);
    for (const hz of [31, 47, 80, 113]) {
      const one = pressure(sources.slice(0, 1), { x: 20, y: 0, z: 0 }, hz);
      expect(dB(pressure(sources, { x: 20, y: 0, z: 0 }, hz) / one)).toBeCloseTo(6.0206, 3);
    }
  });

  test("cancels far away where the paths differ by half a wavelength", () => {
    // 10 m sin θ = λ/2: at 60 Hz λ = 5.72 m, θ = 16.62°
    const { sources } = layouts.pair(at);
    expect(farPressure(sources, 16.62, 60)).toBeLessThan(0.01);
    expect(farPressure(sources, 34.9, 60)).toBeGreaterThan(1.99); // 10 sin θ = λ
  });

  test("is its own mirror image, turned cabinets included", () => {
    const { sources } = layouts.pair({ ...at, across: 2, high: 2, axis: { x: 0.8, y: -0.6, z: 0 } });
    expect(sources).toHaveLength(8);
    const left = sources.filter((s) => s.point.y > 0);
    const right = sources.filter((s) => s.point.y < 0);
    for (const s of left) {
      const twin = right.find(
        (r) => Math.hypot(r.point.x - s.point.x, r.point.y + s.point.y, r.point.z - s.point.z) < 1e-12,
      );
      expect(twin?.axis).toEqual({ x: s.axis.x, y: -s.axis.y, z: s.axis.z });
    }
  });

  test("says from which width on the room gets stripes", () => {
    expect(layouts.pair({ ...at, upTo: 100 }).warnings[0]).toContain(
      "10.00 m apart, at most 1.72 m up to 100 Hz",
    );
    expect(layouts.pair({ ...at, position: { x: 0, y: 0.8, z: 0 }, upTo: 100 }).warnings).toEqual([]);
    expect(() => layouts.pair(common)).toThrow("position.y is 0");
  });
});

describe("a block and a flown column", () => {
  test("sum in phase on axis: 12 cabinets 21.58 dB above one", () => {
    const { sources } = layouts.block({ ...common, across: 4, high: 3 });
    expect(sources).toHaveLength(12);
    expect(dB(farPressure(sources, 0, 50))).toBeCloseTo(21.584, 2);
  });

  test("touch: neighbours stand a cabinet's width and height apart, the bottom row at the position", () => {
    const { sources } = layouts.block({ ...common, across: 3, high: 2 });
    expect(sources.map((s) => s.point.y)).toEqual([-1, 0, 1, -1, 0, 1]);
    expect(sources.map((s) => s.point.z)).toEqual([0, 0, 0, 0.6, 0.6, 0.6]);
  });

  test("a flown column hangs down from its top and narrows upright as a line does", () => {
    const { sources } = layouts.flown({ ...common, top: { x: 0, y: 0, z: 10 }, count: 8 });
    expect(sources[0].point.z).toBeCloseTo(9.7, 12);
    expect(sources[7].point.z).toBeCloseTo(5.5, 12);
    // first null upright: 8 · 0.6 m · sin θ = λ; at 100 Hz sin θ = 3.432/4.8, θ = 45.64°
    const r = 1e5;
    const angle = (45.64 * Math.PI) / 180;
    const far = { x: r * Math.cos(angle), y: 0, z: r * Math.sin(angle) };
    expect(r * pressure(sources, far, 100)).toBeLessThan(0.01);
  });

  test("warn where neighbours are more than half a wavelength apart", () => {
    expect(layouts.block({ ...common, across: 2, upTo: 171 }).warnings).toEqual([]);
    expect(layouts.block({ ...common, across: 2, upTo: 173 }).warnings).toHaveLength(1);
    expect(
      layouts.flown({ ...common, top: position, count: 2, spacing: 2, upTo: 100 }).warnings,
    ).toHaveLength(1);
  });
});

describe("every layout", () => {
  test("carries gain, delay, polarity and filters of the whole to each cabinet", () => {
    const filters = [{ kind: "butterworth", type: "lowpass", order: 4, frequency: 90 }] as const;
    const { sources } = layouts.gradient({
      ...common,
      spacing: 1.1,
      gain: -3,
      delay: 0.02,
      polarity: -1,
      filters,
    });
    expect(sources.map((s) => s.polarity)).toEqual([-1, 1]);
    expect(sources.map((s) => s.gain)).toEqual([-3, -3]);
    expect(sources[1].delay - 0.02).toBeCloseTo(1.1 / SPEED_OF_SOUND, 12);
    expect(sources[0].filters).toEqual(filters);
  });

  test("turns with its axis: a row aimed to house left cancels to house right", () => {
    const { sources } = layouts.gradient({ ...common, spacing: 1.2, axis: { x: 0, y: 1, z: 0 } });
    expect(farPressure(sources, -90, 60)).toBeLessThan(1e-3);
    expect(farPressure(sources, 90, 60)).toBeGreaterThan(1.9);
  });

  test("can be mixed, as long as no two cabinets share a name", () => {
    const context = layouts.pair({ ...common, id: "ground", position: { x: 0, y: 4, z: 0 } });
    const air = layouts.flown({ ...common, id: "air", top: { x: 0, y: 0, z: 9 }, count: 4 });
    expect(layouts.mixed([context, air]).sources.map((s) => s.id)).toEqual([
      "ground left",
      "ground right",
      "air 1",
      "air 2",
      "air 3",
      "air 4",
    ]);
    expect(() => layouts.mixed([air, air])).toThrow('two cabinets are called "air 1"');
  });

  test("refuses counts and spacings that make no layout", () => {
    expect(() => layouts.line({ ...common, count: 0, spacing: 1 })).toThrow("count is 0");
    expect(() => layouts.line({ ...common, count: 2.5, spacing: 1 })).toThrow("count is 2.5");
    expect(() => layouts.gradient({ ...common, spacing: Number.NaN })).toThrow("spacing is NaN");
    expect(() => layouts.endFire({ ...common, count: 1, spacing: 1 })).toThrow("count is 1");
  });
});
