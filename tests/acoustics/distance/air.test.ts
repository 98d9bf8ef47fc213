import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  atmosphericAbsorption,
  speedOfSound,
  standardAir,
  waterConcentration,
} from "../../../lib/acoustics/distance/air";
import { evenly } from "../../evenly";
import { expectAgreement, type Pair } from "../deviation";
import reference from "../reference/acoustics_air.json";

// ISO 9613-1:1993, table 1, dB per kilometre at exact third-octave frequencies and 101.325 kPa, three digits.
// Temperature °C, relative humidity %, index of the band from 1 kHz, attenuation. The digits are those of two public
// reprints of the table; one of their values (20 °C, 50 %, 50 Hz: 0.0794), which no reading of the
// formula gives, is taken for a misread 0.0784 and left out.
const table1: readonly (readonly [number, number, number, number])[] = [
  [-20, 10, -13, 0.589],
  [-20, 100, -13, 0.0992],
  [-20, 15, -9, 1.43],
  [-20, 70, -9, 0.514],
  [-20, 10, 0, 1.65],
  [-20, 70, 0, 11.5],
  [-20, 50, 6, 13.2],
  [-20, 100, 9, 41.1],
  [-15, 50, 0, 13.2],
  [-15, 70, 6, 37.9],
  [-10, 10, -9, 1.86],
  [-10, 100, 0, 5.91],
  [-10, 70, 9, 86.2],
  [-5, 10, 0, 8.29],
  [-5, 70, 6, 65.0],
  [0, 30, -9, 0.469],
  [0, 15, 0, 18.3],
  [0, 100, 0, 3.37],
  [0, 10, 9, 26.4],
  [5, 50, 0, 5.08],
  [10, 10, -9, 0.788],
  [10, 20, 0, 11.0],
  [10, 70, 0, 3.66],
  [10, 70, 6, 32.8],
  [10, 10, 9, 69.4],
  [15, 10, 0, 18.4],
  [15, 70, 6, 26.4],
  [20, 10, -13, 0.27],
  [20, 50, -10, 0.294],
  [20, 50, -9, 0.445],
  [20, 70, -8, 0.518],
  [20, 100, -7, 0.591],
  [20, 10, 0, 14.1],
  [20, 70, 0, 4.98],
  [20, 80, 0, 5.15],
  [20, 10, 6, 109],
  [20, 100, 6, 19.4],
  [20, 15, 8, 175],
  [20, 80, 10, 105],
  [25, 70, 0, 6.19],
  [30, 70, -9, 0.256],
  [30, 50, 0, 7.03],
  [30, 10, 6, 96.0],
  [35, 70, 0, 8.3],
  [40, 70, 0, 8.66],
  [50, 70, -10, 0.0913],
  [50, 50, 0, 10.0],
  [50, 70, 6, 48.2],
  [50, 10, 9, 155],
];

// ISO 9613-2:1996, table 2, octave bands 63 Hz to 8 kHz, dB per kilometre (from memory of the table).
const table2: readonly (readonly [number, number, readonly number[]])[] = [
  [10, 70, [0.1, 0.4, 1.0, 1.9, 3.7, 9.7, 32.8, 117]],
  [20, 70, [0.1, 0.3, 1.1, 2.8, 5.0, 9.0, 22.9, 76.6]],
  [30, 70, [0.1, 0.3, 1.0, 3.1, 7.4, 12.7, 23.1, 59.3]],
  [15, 20, [0.3, 0.6, 1.2, 2.7, 8.2, 28.2, 88.8, 202]],
  [15, 50, [0.1, 0.5, 1.2, 2.2, 4.2, 10.8, 36.2, 129]],
  [15, 80, [0.1, 0.3, 1.1, 2.4, 4.1, 8.3, 23.7, 82.8]],
];

const perKilometre = (temperature: number, relativeHumidity: number, band: number) =>
  1000 *
  atmosphericAbsorption(1000 * 10 ** (band / 10), { temperature, relativeHumidity, pressure: 101.325 });

describe("atmospheric absorption", () => {
  it("agrees with ISO 9613-1 table 1 to its three digits", () => {
    // Half a unit of the third digit is up to 0.5 % of the value.
    expectAgreement(
      "ISO 9613-1 table 1 (relative)",
      table1.map(
        ([t, h, band, value]): Pair => [perKilometre(t, h, band), value, `${t} °C ${h} % band ${band}`],
      ),
      0.005,
      true,
    );
  });

  it("agrees with ISO 9613-2 table 2 to about half a unit of its last digit", () => {
    const pairs = table2.flatMap(([t, h, values]) =>
      values.map((value, i): Pair => {
        const actual = perKilometre(t, h, 3 * (i - 4));
        return [value < 100 ? actual : value + (actual - value) / 10, value, `${t} °C ${h} % octave ${i}`];
      }),
    );
    expectAgreement("ISO 9613-2 table 2", pairs, 0.06);
  });

  it("agrees with pyfar over temperature, humidity and frequency", () => {
    const pairs = reference.absorption.flatMap(({ air, db_per_metre }) =>
      db_per_metre.map(
        (value, i): Pair => [atmosphericAbsorption(reference.frequency[i], air), value, JSON.stringify(air)],
      ),
    );
    // The table has seven digits.
    expectAgreement("absorption against pyfar (relative)", pairs, 1e-6, true);
  });

  // ISO 9613-1 eq. 3 to 5 scale with pressure: at equal molar concentration of water, attenuation over pressure
  // depends on frequency over pressure alone. The concentration is that of a partial pressure: half at twice the pressure.
  it("thinner air of the same molar humidity acts as air at sea level does at a higher frequency", () => {
    for (const fraction of [0.6, 0.8, 1.5]) {
      for (const f of [100, 1000, 8000]) {
        const thin = { temperature: 15, relativeHumidity: 50 * fraction, pressure: 101.325 * fraction };
        const sea = { temperature: 15, relativeHumidity: 50, pressure: 101.325 };
        expect(waterConcentration(thin)).toBeCloseTo(waterConcentration(sea), 12);
        expect(
          atmosphericAbsorption(f * fraction, thin) / fraction / atmosphericAbsorption(f, sea),
        ).toBeCloseTo(1, 9);
      }
    }
  });

  it("grows with frequency and never goes below zero", () => {
    const air = fc.record({
      temperature: evenly(-20, 50),
      relativeHumidity: fc.double({ min: 10, max: 100, noNaN: true }),
      pressure: fc.double({ min: 60, max: 110, noNaN: true }),
    });
    fc.assert(
      fc.property(air, fc.double({ min: 20, max: 15000, noNaN: true }), (a, f) => {
        const low = atmosphericAbsorption(f, a);
        return low > 0 && atmosphericAbsorption(1.05 * f, a) > low;
      }),
    );
  });

  it("refuses what lies outside the standard's range, by name and value", () => {
    const at =
      (change: object, f = 1000) =>
      () =>
        atmosphericAbsorption(f, { ...standardAir, ...change });
    expect(at({ temperature: 60 })).toThrow("temperature is 60, expected -20 to 50");
    expect(at({ relativeHumidity: 120 })).toThrow("relative humidity is 120, expected 0 to 100");
    expect(at({ relativeHumidity: 0 })).toThrow("molar concentration of water (%) is 0");
    expect(at({ pressure: 0 })).toThrow(RangeError);
    expect(at({ pressure: 101325 })).toThrow("pressure is 101325, expected 0.001 to 200");
    expect(at({}, 0)).toThrow("frequency is 0");
    expect(at({}, 2e6)).toThrow("frequency over pressure");
  });

  it("below the standard's lowest frequency the continued formula stays under 0.3 dB per kilometre", () => {
    for (const temperature of [-20, 0, 20, 50]) {
      for (const relativeHumidity of [20, 50, 100]) {
        const value = atmosphericAbsorption(20, { temperature, relativeHumidity, pressure: 101.325 });
        expect(1000 * value).toBeLessThan(0.3);
      }
    }
  });
});

describe("speed of sound", () => {
  // Kuttruff, Acoustics, and common tables: 331.3 m/s at 0 °C, 343.2 at 20 °C, 349.0 at 30 °C (from memory).
  it("is 331.3 m/s at 0 °C, 343.2 at 20 °C and 349.0 at 30 °C", () => {
    expectAgreement(
      "speed of sound by temperature",
      [
        [speedOfSound(0), 331.3],
        [speedOfSound(20), 343.2],
        [speedOfSound(30), 349.0],
        [speedOfSound(-20), 318.9],
      ],
      0.1,
    );
    expect(() => speedOfSound(68)).toThrow("temperature is 68, expected -20 to 50");
  });

  // Saturated air at 20 °C holds 2.338 kPa of water vapour (steam tables; from memory).
  it("saturated air at 20 °C holds 2.3 % of water", () => {
    expect(waterConcentration({ temperature: 20, relativeHumidity: 100, pressure: 101.325 })).toBeCloseTo(
      2.307,
      2,
    );
  });
});
