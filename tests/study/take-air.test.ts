/** Takes in air of different temperature keep their phase to each other. Recordings are closed forms. */
import { describe, expect, it } from "vitest";
import { bestShift } from "../../lib/study/common-time";
import type { ShowMeasurement } from "../../lib/study/measure";
import { distances, measured, type Path, positions, type SyntheticTake } from "./synthetic-show";

/** Textbook speed of sound in dry air. */
const speed = (celsius: number) => 331.3 * Math.sqrt(1 + celsius / 273.15);
const LATENCY = { mains: 0.004, subs: 0.0065 };
const arrival = (part: "mains" | "subs", id: string, celsius: number) =>
  LATENCY[part] + distances(id)[part] / speed(celsius);
function take(parts: readonly ("mains" | "subs")[], celsius: number, told: boolean): SyntheticTake {
  const playing = parts.length > 1 ? "both" : parts[0];
  const heard = (id: string) =>
    parts.map(
      (through): Path => ({
        through,
        gain: 5 / distances(id)[through],
        delay: arrival(through, id, celsius),
      }),
    );
  return {
    playing,
    recording: `${playing}.wav`,
    paths: Object.fromEntries(positions.map((id) => [id, heard(id)])),
    ...(told && { more: { temperature: celsius, humidity: 50 } }),
  };
}
/** By how much the subs trail the mains at each position, milliseconds: both filters turn the phase alike. */
function trailing({ survey }: ShowMeasurement): number[] {
  return survey!.mains.map((mains, i) => {
    const subs = survey!.subs[i];
    const from = mains.frequency.findIndex((f) => f >= 50);
    const to = mains.frequency.findIndex((f) => f > 200);
    const part = ({ re, im }: { re: Float64Array; im: Float64Array }) => ({
      re: re.slice(from, to),
      im: im.slice(from, to),
    });
    const frequency = mains.frequency.slice(from, to);
    return -1000 * bestShift([{ frequency, source: part(subs), target: part(mains) }], 0.02)!.shift;
  });
}
const truth = positions.map((id) => 1000 * (arrival("subs", id, 20) - arrival("mains", id, 20)));
const off = (m: ShowMeasurement) => trailing(m).map((ms, i) => Math.abs(ms - truth[i]));

describe("mains at 24 °C and subs at 12 °C, for a show at 20 °C", () => {
  it("stand as at 20 °C, within a tenth of a millisecond, where without a temperature they are milliseconds off", () => {
    const silent = measured([take(["mains"], 24, false), take(["subs"], 12, false)]);
    expect(Math.max(...off(silent))).toBeGreaterThan(2);
    const told = measured([take(["mains"], 24, true), take(["subs"], 12, true)]);
    expect(Math.max(...off(told))).toBeLessThan(0.1);
    expect(told.warnings.join("\n")).toMatch(
      /"subs.wav" was made in air of 12 °C and 50 %, and the show's has 20 °C and 50 %: its arrivals count as up to 1\.8 ms earlier/,
    );
    // 45.5 m of (1/331.3√(1+20/273.15) − 1/331.3√(1+12/273.15)) s.
  });

  it("agree with both at 16 °C, and nothing is said of times that differ", () => {
    const all = (told: boolean) => [
      take(["mains"], 24, told),
      take(["subs"], 12, told),
      take(["mains", "subs"], 16, told),
    ];
    const words = (m: ShowMeasurement) => m.warnings.join("\n");
    expect(words(measured(all(false)))).toMatch(/°C colder: all arrive/);
    const told = measured(all(true));
    expect(words(told)).not.toMatch(/all arrive|not the sum|expected from the drawing/);
    expect(told.survey!.checks.map((c) => c.agrees)).toEqual([true, true, true, true]);
  });

  it("are for the show's temperature, whichever that is", () => {
    const at = measured([take(["mains"], 24, true), take(["subs"], 12, true)], {
      settings: { temperature: 12 },
    });
    trailing(at).forEach((ms, i) => {
      const asAt12 = arrival("subs", positions[i], 12) - arrival("mains", positions[i], 12);
      expect(Math.abs(ms - 1000 * asAt12)).toBeLessThan(0.1);
    });
  });
});

it("a take in the show's own air is as it was to the bit, and nothing is said", () => {
  const plain = measured([take(["mains"], 20, false), take(["subs"], 20, false)]);
  const told = measured([take(["mains"], 20, true), take(["subs"], 20, true)]);
  expect(told).toEqual(plain);
});

it("what dry air takes of the mid band is said where it counts", () => {
  const dry = { ...take(["mains"], 15, false), more: { temperature: 15, humidity: 20 } };
  const { warnings } = measured([dry, take(["subs"], 15, true)], { settings: { temperature: 15 } });
  // ISO 9613-2:1996, table 2 (from memory), 15 °C, dB/km at 500, 1000, 2000 Hz: 20 % 2.7, 8.2, 28.2 and 50 % 2.2, 4.2, 10.8.
  const expected = ((2.7 + 8.2 + 28.2 - 2.2 - 4.2 - 10.8) / 3) * 0.0454;
  const [, db] = warnings
    .join("\n")
    .match(/"mains.wav" was made .* absorbs up to ([\d.]+) dB more of the mid band/)!;
  expect(Math.abs(Number(db) - expected)).toBeLessThan(0.06);
});
