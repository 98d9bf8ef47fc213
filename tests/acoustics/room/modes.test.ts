import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { modeCount, roomModes } from "../../../lib/acoustics/room/modes";
import { expectAgreement, type Pair } from "../deviation";

const side = fc.double({ min: 2, max: 20, noNaN: true });
const sides = fc.record({ length: side, width: side, height: side });

describe("modes of a rectangular room", () => {
  // Kuttruff, Room Acoustics, table 3.1: room of 4.7 × 4.1 × 3.1 m, 340 m/s, its lowest 20 modes, Hz (from memory).
  const table = [
    36.17, 41.46, 54.84, 55.02, 65.69, 68.75, 72.34, 77.68, 82.93, 83.38, 90.47, 90.78, 99.42, 99.8, 105.79,
    108.51, 109.68, 110.05, 115.49, 116.16,
  ];

  it("agree with Kuttruff's table of the lowest twenty", () => {
    const modes = roomModes({ length: 4.7, width: 4.1, height: 3.1 }, 116.2, 340);
    expect(modes.length).toBe(20);
    expectAgreement(
      "Kuttruff's room modes, Hz",
      modes.map((mode, i): Pair => [mode.frequency, table[i], mode.order.join("")]),
      0.006,
    );
    expect(modes[0]).toMatchObject({ order: [1, 0, 0], kind: "axial" });
    expect(modes[3]).toMatchObject({ order: [1, 1, 0], kind: "tangential" });
    expect(modes[7]).toMatchObject({ order: [1, 1, 1], kind: "oblique" });
  });

  it("are found up to the limit, that itself included", () => {
    // A cube of 1 m at 2 m/s: three axial modes at 1 Hz, three tangential ones at √2 Hz.
    const cube = { length: 1, width: 1, height: 1 };
    const orders = roomModes(cube, 1, 2).map(({ order }) => order.join(""));
    expect(orders.sort()).toEqual(["001", "010", "100"]);
    expect(roomModes(cube, 1.42, 2).length).toBe(6);
  });

  it("ascend, and turning the room round changes nothing", () => {
    fc.assert(
      fc.property(sides, ({ length, width, height }) => {
        const a = roomModes({ length, width, height }, 150).map((m) => m.frequency);
        const b = roomModes({ length: height, width: length, height: width }, 150).map((m) => m.frequency);
        expect(b.length).toBe(a.length);
        a.forEach((f, i) => {
          expect(f).toBeCloseTo(b[i], 9);
          if (i) expect(f).toBeGreaterThanOrEqual(a[i - 1]);
        });
      }),
      { numRuns: 30 },
    );
  });

  it("are as many as expected, within a few per cent well above the lowest", () => {
    const room = { length: 9, width: 7, height: 4 };
    expect(roomModes(room, 400).length / modeCount(room, 400)).toBeCloseTo(1, 1);
    expect(Math.abs(roomModes(room, 400).length / modeCount(room, 400) - 1)).toBeLessThan(0.02);
  });

  it("are expected in the number of the formula, worked by hand", () => {
    // Volume 6 m³, surface 22 m², edges 24 m, one wavelength of 1 m: 8π + 5.5π + 3.
    expect(modeCount({ length: 1, width: 2, height: 3 }, 1, 1)).toBeCloseTo(13.5 * Math.PI + 3, 12);
  });

  it("a limit with millions of modes below, or a side of nothing, is refused", () => {
    expect(() => roomModes({ length: 60, width: 40, height: 15 }, 16000)).toThrow("expected a lower limit");
    expect(() => roomModes({ length: 5, width: 0, height: 3 }, 100)).toThrow("width is 0");
  });
});
