import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { colour, colourScale, colours, scales, type Theme } from "../../../../lib/lesson/figures/parts/style";

const themes: readonly Theme[] = ["light", "dark"];
const reference = JSON.parse(readFileSync(join(__dirname, "../../reference", "lesson_colours.json"), "utf8"));

/** Relative luminance, WCAG 2.2. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** Contrast ratio, WCAG 2.2. */
function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

/** Lightness L*, CIE 15. */
const lightness = (hex: string): number => 116 * Math.cbrt(luminance(hex)) - 16;

describe.each(themes)("the %s style", (theme) => {
  const { page, ...rest } = colours[theme];

  it.each(["ink", "faint", "mains", "subs", "sum", "mark"] as const)(
    "lets %s be read as text on the page: contrast 4.5 or more (WCAG 2.2, 1.4.3)",
    (name) => expect(contrast(rest[name], page)).toBeGreaterThanOrEqual(4.5),
  );

  it("lets every line of the distance scale be seen on the page: contrast 3 or more (WCAG 2.2, 1.4.11)", () => {
    for (const stop of scales[theme].distance) expect(contrast(stop, page)).toBeGreaterThanOrEqual(3);
  });

  it("orders distance by lightness alone, in even steps, so that it survives grey print and any colour vision", () => {
    const steps = scales[theme].distance.map(lightness);
    const differences = steps.slice(1).map((l, i) => l - steps[i]);
    const sign = Math.sign(differences[0]);
    for (const d of differences) expect(d * sign).toBeGreaterThan(0);
    const sizes = differences.map(Math.abs);
    expect(Math.max(...sizes) / Math.min(...sizes)).toBeLessThan(2.5);
  });

  it("tells mains from subs and mark without red and green cones", () => {
    for (const kind of ["protanomaly", "deuteranomaly", "tritanomaly"]) {
      for (const [pair, difference] of Object.entries(reference.differences[theme][kind])) {
        expect(difference, `${pair} with ${kind}`).toBeGreaterThan(12);
      }
    }
  });
});

describe("the scales", () => {
  it("are viridis as matplotlib has it, cut at one end", () => {
    const from = [0, 0.29, 0.58].map((x) => reference.viridis[Math.round(x * 100)]);
    const ours = [0, 5, 10].map((i) => scales.light.distance[i]);
    for (const [i, hex] of ours.entries()) expect(farthest(hex, from[i])).toBeLessThanOrEqual(6);
  });

  it("are vik as its author published it, cut at both ends", () => {
    const from = [0.08, 0.5, 0.92].map((x) => reference.vik[Math.round(x * 100)]);
    const ours = [0, 5, 10].map((i) => scales.light.balance[i]);
    for (const [i, hex] of ours.entries()) expect(farthest(hex, from[i])).toBeLessThanOrEqual(8);
  });

  it("refuse a name that the style does not have", () => {
    expect(() => colour("@purple", "light")).toThrow(/"@purple"/);
    expect(() => colourScale("@heat", "light")).toThrow(/"@heat"/);
  });
});

/** Largest difference of a channel, of 255. */
const farthest = (a: string, b: string): number =>
  Math.max(
    ...[1, 3, 5].map((i) =>
      Math.abs(Number.parseInt(a.slice(i, i + 2), 16) - Number.parseInt(b.slice(i, i + 2), 16)),
    ),
  );
