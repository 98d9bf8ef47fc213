import { describe, expect, it } from "vitest";
import type { Figure } from "../../../lib/lesson/figures/parts/figure";
import { pack } from "../../../lib/lesson/output/pack";
import { panel } from "../../../lib/lesson/panels";
import { kinds } from "../../../lib/lesson/panels/kinds";
import { type SliderValues, type View, valuesOf } from "../../../lib/lesson/panels/panel";

const names = ["distance", "drift", "boundary", "room"] as const;

/** The view of a panel with some sliders moved. */
function at(name: (typeof names)[number], moved: SliderValues = {}): View {
  const kind = kinds[name] as unknown as {
    sliders: (content: unknown) => Parameters<typeof valuesOf>[0];
    reduce: (data: object) => unknown;
    prepare: (content: unknown) => (values: SliderValues) => View;
  };
  const content = kind.reduce({});
  return kind.prepare(content)({ ...valuesOf(kind.sliders(content)), ...moved });
}

const lastOf = (figure: Figure, curve: number) => (figure.data[curve].y as number[]).at(-1) as number;

describe.each(names)('the panel "%s"', (name) => {
  it("draws finite numbers with every slider at either end, on axes that stay", () => {
    const start = at(name);
    for (const { name: slider, min, max } of kinds[name].sliders({} as never)) {
      for (const value of [min, max]) {
        const view = at(name, { [slider]: value });
        expect(view.words).not.toMatch(/NaN|undefined|Infinity/);
        for (const [i, figure] of view.figures.entries()) {
          expect(() => pack(figure)).not.toThrow();
          expect(figure.layout.yaxis).toEqual(start.figures[i].layout.yaxis);
        }
      }
    }
  });

  it("needs no data, and says what there is to see", () => {
    expect(panel(name, {}).alt.length).toBeGreaterThan(40);
  });
});

describe('the panel "distance"', () => {
  it("takes 20 dB from 2 m to 20 m for a point, and 10 dB for an endless line", () => {
    const [figure] = at("distance", { near: 2, far: 20 }).figures;
    expect(lastOf(figure, 0)).toBeCloseTo(-10, 6);
    expect(lastOf(figure, 1)).toBeCloseTo(-20, 6);
  });

  it("has a short source at a low frequency fall like the point", () => {
    const [figure] = at("distance", { near: 4, far: 40, length: 0.5, frequency: 50 }).figures;
    expect(Math.abs(lastOf(figure, 2) + 20)).toBeLessThan(0.1);
  });
});

describe('the panel "drift"', () => {
  it("has no drift where sub and hang are in one place", () => {
    const view = at("drift", { hang: 8, sub: 8, forward: 0 });
    expect(view.words).toContain("the same bass");
    expect(lastOf(view.figures[1], 2)).toBeCloseTo(0, 9);
  });

  // 7.648 and 25.908 m, 3.081 and 24.510 m: 10.6 and 18.0 dB, by hand.
  it("has 7.4 dB of it for the hall that the lesson starts with", () => {
    expect(at("drift").words).toContain("7.4 dB too little bass");
  });
});

describe('the panel "boundary"', () => {
  // A quarter wavelength of 1.65 m at 343.2 m/s is 52 Hz; a mirror far away leaves a deep notch there.
  it("has its deepest dip near the quarter wave of the wall, and 5 dB more than open ground an octave above", () => {
    const view = at("boundary", { wall: 1.65, width: 40 });
    expect(view.words).toContain("52 Hz");
    const { x, y } = view.figures[0].data[2] as unknown as { x: number[]; y: number[] };
    const at52 = y.indexOf(Math.min(...y.filter((_, i) => x[i] < 100)));
    expect(Math.abs(x[at52] - 52)).toBeLessThan(4);
    const at104 = x.findIndex((f) => f > 104);
    expect(y[at104]).toBeGreaterThan(4);
    expect(y[at104]).toBeLessThan(8);
  });

  it("has a shallower one where the wall absorbs", () => {
    const deepest = (absorbed: number) => {
      const { x, y } = at("boundary", { absorbed }).figures[0].data[2] as unknown as {
        x: number[];
        y: number[];
      };
      return Math.min(...y.filter((_, i) => x[i] < 100));
    };
    expect(deepest(75)).toBeGreaterThan(deepest(0) + 5);
    // Three quarters of the energy gone leave half the pressure: 20 lg (1 − ½) = −6 dB.
    expect(Math.abs(deepest(75) + 6)).toBeLessThan(1.5);
  });
});

describe('the panel "room"', () => {
  // 0.161 · 5000/2 = 402 m², the root of 402/50.3 is 2.83 m; with an index of 10 dB √10 times as far.
  it("has the critical distances of a hall of 5000 m³ and 2 s", () => {
    const { words } = at("room", { volume: 5000, mid: 2, low: 2, mains: 10, subs: 0 });
    expect(words).toContain("8.9 m and 2.8 m");
    expect(words).toContain("Schroeder frequency 40 Hz"); // 2000 √(2/5000)
  });

  it("gains as many dB of direct sound relative to the room as the directivity index grows", () => {
    const ratio = (subs: number) => {
      const [, text] = /that of the subs ([+−]?[\d.]+) dB/.exec(at("room", { subs }).words) ?? [];
      return Number(text.replace("−", "-"));
    };
    expect(ratio(6) - ratio(0)).toBeCloseTo(6, 1);
  });
});
