import { describe, expect, it } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { jointOffset, searchTogether } from "../../../lib/decision/alignment/joint";
import { prepareBalance } from "../../../lib/decision/balance/balance";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { frequency, pointSource, position, ratios, survey } from "../synthetic";

const sum = (a: Response, b: Response): Response => ({
  frequency,
  re: a.re.map((x, i) => x + b.re[i]),
  im: a.im.map((x, i) => x + b.im[i]),
});

function room(ySub: number) {
  const positions = Array.from({ length: 24 }, (_, i) =>
    position(`p${i}`, { x: 3 + 3 * (i % 8), y: -6 + 6 * Math.floor(i / 8) }, 1 + (i % 3)),
  );
  return survey(
    positions,
    positions.map(({ point }) =>
      sum(pointSource({ x: 0, y: 5, z: 7 }, point, 20), pointSource({ x: 60, y: 5, z: 7 }, point, 17)),
    ),
    positions.map(({ point }) =>
      sum(pointSource({ x: 0, y: ySub, z: 0 }, point, 16), pointSource({ x: 60, y: ySub, z: 0 }, point, 14)),
    ),
  );
}

describe("offset, polarity and delay together", () => {
  for (const [criterion, ySub] of [
    ["least mean square", 0],
    ["least mean", 3],
    ["least worst", -4],
  ] as const) {
    it(`by ${criterion} are as good as the best of trying everything`, () => {
      const s = room(ySub);
      const options = { criterion, delays: [-0.006, 0.006] } as const;
      const [found] = searchTogether(s, options);
      const people = s.positions.map((p) => p.people);
      const total = people.reduce((a, b) => a + b, 0);
      // Every quarter of a millisecond, both polarities, every decibel; costs written out from the deviations.
      let least = Number.POSITIVE_INFINITY;
      for (let delay = -0.006; delay <= 0.00601; delay += 0.00025) {
        for (const polarity of [1, -1] as const) {
          const seats = prepareBalance(s, { delay, polarity });
          for (let offset = -12; offset <= 24; offset += 1) {
            const d = Array.from(seats.deviations(offset), Math.abs);
            const cost =
              criterion === "least worst"
                ? Math.max(...d)
                : criterion === "least mean"
                  ? d.reduce((a, x, i) => a + people[i] * x, 0) / total
                  : Math.sqrt(d.reduce((a, x, i) => a + people[i] * x * x, 0) / total);
            least = Math.min(least, cost);
          }
        }
      }
      expect(found.cost_db).toBeLessThan(least + 1e-6);
      // And not better than a finer grid could be: half a step off in delay and level is worth less than this.
      expect(found.cost_db).toBeGreaterThan(least - 0.3);
      expect(found.cost_db).toBeLessThanOrEqual(levelOffset(s, { criterion }).cost_db + 1e-6);
    });
  }
  it("leave delay and polarity alone where they gain nothing", () => {
    // Subs below the crossover, mains above: the phase between them changes no level.
    const found = jointOffset(ratios([3, -1, 4]));
    expect([found.delay_ms, found.polarity]).toEqual([0, 1]);
    expect(found.reasons[0]).toContain("leave both as measured");
  });
  it("need a phase", () => {
    const s = ratios([3, 4]);
    expect(() => jointOffset({ ...s, subs: s.subs.map((r) => ({ ...r, magnitudeOnly: true })) })).toThrow(
      /no phase/,
    );
  });
});
