import { describe, expect, it } from "vitest";
import { directionsFigure, levelsOverDirection } from "../../../lib/lesson/figures/directions";
import { kinds } from "../../../lib/lesson/panels/kinds";
import * as layouts from "../../../lib/venue/layouts";
import type { Cabinet } from "../../../lib/venue/venue";

const cabinet: Cabinet = {
  level: { frequency: [20, 200], level: [100, 100] },
  pattern: { kind: "omni" },
  size: { width: 0.6, height: 0.6, depth: 0.6 },
};
const position = { x: 0, y: 0, z: 0 };
const speed = 343.2; // m/s, of the makers and the model in this air
const far = 5000; // metres: the far field, to which the published patterns belong
const over = (sources: ReturnType<typeof layouts.line>["sources"], frequency: number) =>
  levelsOverDirection(sources, { frequencies: [frequency], distance: far })[0];
const [behind, forward] = [0, 60];

describe("levels over direction", () => {
  it("give n cabinets in phase 20 lg n dB forward (sum of equal sources)", () => {
    const { sources } = layouts.line({ cabinet, position, count: 4, spacing: 1 });
    expect(Math.abs(over(sources, 50)[forward] - 12.04)).toBeLessThan(0.05);
  });

  it("give two sources their first null where the ways differ by half a wavelength", () => {
    const { sources } = layouts.line({ cabinet, position, count: 2, spacing: 4 });
    const f = speed / (2 * 4 * Math.sin(Math.PI / 6)); // null at 30°, the eleventh value beside forward
    expect(over(sources, f)[forward + 10]).toBeLessThan(-30);
  });

  it("give a gradient pair a quarter wavelength apart 6 dB forward and nothing behind (Olson)", () => {
    const { sources } = layouts.gradient({ cabinet, position, elements: 2, spacing: 1 });
    const level = over(sources, speed / 4);
    expect(Math.abs(level[forward] - 6.02)).toBeLessThan(0.05);
    expect(level[behind]).toBeLessThan(-35);
  });

  it("give an end-fire row all of its cabinets forward at any frequency", () => {
    const { sources } = layouts.endFire({ cabinet, position, count: 3, spacing: 1.1 });
    for (const f of [30, 63, 100]) expect(Math.abs(over(sources, f)[forward] - 9.54)).toBeLessThan(0.05);
  });

  it("give a flown column its first null up and down where the ends differ by a wavelength (Balanis)", () => {
    const { sources } = layouts.flown({ cabinet, top: position, count: 6, spacing: 0.8 });
    const f = speed / (6 * 0.8 * Math.sin(Math.PI / 6)); // sin 30° = λ / (n d)
    const upright = levelsOverDirection(sources, { frequencies: [f], distance: far, plane: "vertical" })[0];
    expect(Math.abs(upright[forward] - 15.56)).toBeLessThan(0.05);
    for (const null_ of [forward - 10, forward + 10]) expect(upright[null_]).toBeLessThan(-25);
    // across it is as wide as one cabinet
    expect(Math.min(...over(sources, f))).toBeGreaterThan(15.4);
  });

  it("draw house left at +90°: a line turned to the side is heard there", () => {
    const { sources } = layouts.endFire({
      cabinet,
      position,
      count: 3,
      spacing: 1.1,
      axis: { x: 0, y: 1, z: 0 },
    });
    const level = over(sources, 63);
    expect(level[90]).toBeGreaterThan(level[30] + 6);
    expect(directionsFigure(sources, { frequencies: [63] }).alt).toMatch(/63 Hz: .* 9\.5 dB to house left/);
  });
});

describe('the panel "sub layout"', () => {
  const view = (shape: "line" | "arc" | "end-fire" | "gradient", values: Record<string, number>) =>
    kinds["sub layout"].prepare(kinds["sub layout"].reduce({ shape, cabinet }))(values);

  it("warns where the spacing exceeds half a wavelength at 100 Hz, 1.72 m", () => {
    expect(view("line", { count: 4, spacing: 1.7, frequency: 63 }).words).toContain("within its limit");
    expect(view("line", { count: 4, spacing: 1.8, frequency: 63 }).words).toContain("at most 1.72 m");
  });

  it.each(["line", "arc", "end-fire", "gradient"] as const)(
    "draws a %s at the ends of its sliders",
    (shape) => {
      const content = kinds["sub layout"].reduce({ shape, cabinet });
      const sliders = kinds["sub layout"].sliders(content);
      for (const end of ["min", "max"] as const) {
        const { words } = view(shape, Object.fromEntries(sliders.map((s) => [s.name, s[end]])));
        expect(words).not.toMatch(/NaN|undefined|Infinity/);
      }
    },
  );
});
