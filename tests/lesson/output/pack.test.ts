import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Figure } from "../../../lib/lesson/figures/parts/figure";
import { figureHtml } from "../../../lib/lesson/output/figure-html";
import { pack, unpack } from "../../../lib/lesson/output/pack";

describe("pack", () => {
  it("writes typed arrays as little-endian single precision that Node's own Buffer reads", () => {
    const { values } = JSON.parse(pack({ values: Float64Array.of(1, -2.5, 1e-3) }));
    const bytes = Buffer.from(values.bdata, "base64");
    expect(bytes.readFloatLE(0)).toBe(1);
    expect(bytes.readFloatLE(4)).toBe(-2.5);
    expect(bytes.readFloatLE(8)).toBe(Math.fround(1e-3));
  });

  it("takes less than six bytes for a value of a long array", () => {
    const values = Float64Array.from({ length: 3000 }, (_, i) => Math.sin(i) * 97.123456789);
    expect(pack(values).length).toBeLessThan(3000 * 6);
  });

  it("refuses a number that can't be drawn and names its key", () => {
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => pack({ y: Float64Array.of(1, bad) })).toThrow(/"y" holds/);
      expect(() => pack({ width: bad })).toThrow(/"width" holds/);
    }
  });

  it("never writes what could end a script element, whatever the text", () => {
    fc.assert(
      fc.property(
        fc.string({ unit: "binary" }),
        fc.constantFrom("</script>", "<!--", "<script", ""),
        (text, bad) => {
          const packed = pack({ [text]: `${text}${bad}${text}` });
          expect(packed).not.toMatch(/[<\u2028\u2029]/);
          expect(JSON.parse(packed)).toEqual({ [text]: `${text}${bad}${text}` });
        },
      ),
    );
  });
});

describe("unpack", () => {
  it("returns typed arrays of any length as Float64Array within single precision, 2⁻²⁴ of the value", () => {
    fc.assert(
      fc.property(
        fc.float64Array({ noNaN: true, noDefaultInfinity: true, min: -1e9, max: 1e9 }),
        (values) => {
          const back = unpack<{ values: Float64Array }>(pack({ values })).values;
          expect(back).toBeInstanceOf(Float64Array);
          for (const [i, x] of values.entries()) {
            expect(Math.abs(back[i] - x)).toBeLessThanOrEqual(Math.abs(x) * 2 ** -24 + 1e-40);
          }
        },
      ),
    );
  });
});

describe("figureHtml", () => {
  const nasty = `</script><script>alert(1)</script><img src=x onerror="alert(2)">'&"`;
  const figure: Figure = {
    title: nasty,
    alt: nasty,
    height: 100,
    data: [{ type: "scatter", x: [1], y: [1], text: nasty }],
    layout: { xaxis: { title: { text: nasty } } },
  };

  it("holds no element that came from the data", () => {
    const html = figureHtml(figure);
    const names = [...html.matchAll(/<([a-z]+)/g)].map(([, name]) => name);
    expect(names).toEqual([
      "figure",
      "figcaption",
      "div",
      "p",
      "em",
      "details",
      "summary",
      "p",
      "script",
      "script",
    ]);
    expect(html.match(/<\/script>/g)).toHaveLength(2);
  });

  it("says without any script what to do and what there would be to see", () => {
    const html = figureHtml({ ...figure, title: "Subs", alt: "The level falls by 6 dB." });
    const seen = html.replace(/<script[\s\S]*?<\/script>/g, "").replace(/<[^>]*>/g, "");
    expect(seen).toMatch(/run its cell again/);
    expect(seen).toMatch(/The level falls by 6 dB\./);
  });

  it("adds less than two kilobytes to its data: the libraries are not in it", () => {
    expect(figureHtml(figure).length - pack(figure).length).toBeLessThan(2500);
  });
});
