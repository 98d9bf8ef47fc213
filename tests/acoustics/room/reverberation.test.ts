import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  absorptionAreaOfReverberation,
  equivalentAbsorptionArea,
  eyring,
  sabine,
  schroederFrequency,
} from "../../../lib/acoustics/room/reverberation";
import { expectAgreement, type Pair } from "../deviation";
import reference from "../reference/acoustics_room.json";

const foot = 0.3048;
const volume = fc.double({ min: 50, max: 50000, noNaN: true });

describe("reverberation time", () => {
  // Everest, The Master Handbook of Acoustics, 4th ed., reverberation, worked example of a room of 23.3 × 16 × 10 ft:
  // concrete 373 sq ft, gypsum board 1159 sq ft, acoustical tile 340 sq ft, 125 Hz to 4 kHz.
  const example = {
    concrete: [0.01, 0.01, 0.015, 0.02, 0.02, 0.02],
    gypsum: [0.29, 0.1, 0.05, 0.04, 0.07, 0.09],
    tile: [0.09, 0.28, 0.78, 0.84, 0.73, 0.64],
    sabins: [370.4, 214.8, 328.8, 339.5, 336.8, 329.4],
    seconds: [0.49, 0.85, 0.56, 0.54, 0.54, 0.55],
  };

  it("by Sabine agrees with a handbook's worked example from 125 Hz to 4 kHz", () => {
    const areas: Pair[] = [];
    const times: Pair[] = [];
    example.seconds.forEach((time, i) => {
      const area = equivalentAbsorptionArea([
        { area: 373 * foot ** 2, absorption: example.concrete[i] },
        { area: 1159 * foot ** 2, absorption: example.gypsum[i] },
        { area: 340 * foot ** 2, absorption: example.tile[i] },
      ]);
      areas.push([area / foot ** 2, example.sabins[i]]);
      times.push([sabine(3728 * foot ** 3, area), time]);
    });
    expectAgreement("absorption area of the handbook's room, sabins", areas, 0.15);
    // The book's 0.049 and its two digits together are worth 0.006 s.
    expectAgreement("Sabine, handbook, seconds", times, 0.006);
  });

  it("by Sabine with air and by Eyring without agrees with pyroomacoustics", () => {
    const pairs = reference.decay.flatMap((row): Pair[] => {
      const options = { speedOfSound: reference.speed_of_sound, airAbsorption: row.db_per_metre };
      return [
        [sabine(row.volume, row.surface * row.absorption, options), row.sabine],
        [
          eyring(row.volume, row.surface, row.absorption, { speedOfSound: reference.speed_of_sound }),
          row.eyring_without_air,
        ],
      ];
    });
    expectAgreement("Sabine and Eyring against pyroomacoustics (relative)", pairs, 1e-7, true);
  });

  it("by Eyring is shorter than by Sabine, by little when little absorbs, and 0 when all does", () => {
    fc.assert(
      fc.property(volume, fc.double({ min: 0.01, max: 0.99, noNaN: true }), (v, a) => {
        const surface = 6 * v ** (2 / 3);
        return eyring(v, surface, a) < sabine(v, surface * a);
      }),
    );
    expect(eyring(1000, 600, 0.02) / sabine(1000, 12)).toBeCloseTo(0.99, 2);
    expect(eyring(1000, 600, 1)).toBe(0);
  });

  it("air takes the same energy out of a decay by either formula", () => {
    // With nothing else absorbing, the level falls by the attenuation times the speed of sound each second.
    const options = { speedOfSound: 340, airAbsorption: 0.01 };
    expect(sabine(5000, 0, options)).toBeCloseTo(60 / (0.01 * 340), 9);
    expect(eyring(5000, 1800, 0, options)).toBeCloseTo(60 / (0.01 * 340), 9);
  });

  // Kuttruff, Room Acoustics: A = 0.161 V/T.
  it("tells of an absorption area of 0.161 V/T", () => {
    expect(absorptionAreaOfReverberation(1000, 2)).toBeCloseTo(80.5, 1);
  });

  it("nothing absorbing, or absorption above 1, is refused", () => {
    expect(() => sabine(1000, 0)).toThrow("equivalent absorption area is 0");
    expect(() => eyring(1000, 600, 1.1)).toThrow("mean absorption is 1.1, expected 0 to 1");
    expect(() => equivalentAbsorptionArea([{ area: 3, absorption: -0.1 }])).toThrow(
      "surfaces[0].absorption is -0.1",
    );
  });
});

describe("Schroeder frequency", () => {
  // Figures quoted in lectures on room acoustics: 0.5 s in 50 m³ gives 200 Hz, 4 s in 10000 m³ 40 Hz (from memory).
  it("is 200 Hz at 0.5 s in 50 m³ and 40 Hz at 4 s in 10000 m³", () => {
    expect(schroederFrequency(0.5, 50)).toBeCloseTo(200, 9);
    expect(schroederFrequency(4, 10000)).toBeCloseTo(40, 9);
    expect(() => schroederFrequency(0, 50)).toThrow("reverberation time is 0");
  });
});
