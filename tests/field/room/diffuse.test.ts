import { describe, expect, it } from "vitest";
import { modelSurvey } from "../../../lib/field/model-survey";
import type { Room } from "../../../lib/venue/venue";
import { expectAgreement } from "../../acoustics/deviation";
import { at, decibels, source, venue, wall } from "../venues";

const flat = (value: number) => ({ frequency: [1000], value: [value] });
const frequency = Float64Array.of(100, 1000);

function levels(
  sources: ReturnType<typeof source>[],
  room: Room,
  x: number,
  more: Parameters<typeof modelSurvey>[2] = {},
  boundaries: ReturnType<typeof wall>[] = [],
) {
  const v = venue({ sources, room, boundaries });
  const [r] = modelSurvey(v, [at(x, 0, 0)], { frequency, order: 0, ...more }).subs;
  return {
    diffuse: Array.from(r.diffuse ?? [], (x) => 10 * Math.log10(x)),
    direct: Array.from(r.re, (re, i) => decibels(re, r.im[i])),
  };
}

describe("the diffuse field", () => {
  it("by Hopkins and Stryker equals the direct sound at the critical distance", () => {
    // 0.057 √(QV/T), handbook formula from Sabine (from memory); the room constant moves it by the root of 1 − α, here 2 %.
    const room = { volume: 6000, surface: 6000, reverberationTime: flat(4) };
    const distance = 0.057 * Math.sqrt(6000 / 4);
    const { diffuse, direct } = levels([source({ x: 0, y: 0, z: 0 })], room, distance, {
      diffuse: "hopkins-stryker",
    });
    expectAgreement("critical distance, dB", [[diffuse[0], direct[0]]], 0.3);
  });

  it("by Hopkins and Stryker is the same near and far", () => {
    const room = { volume: 6000, surface: 2200, reverberationTime: flat(1.8) };
    const [near, far] = [3, 30].map((x) =>
      levels([source({ x: 0, y: 0, z: 0 })], room, x, { diffuse: "hopkins-stryker" }),
    );
    expect(near.diffuse[0]).toBeCloseTo(far.diffuse[0], 9);
  });

  it.each([
    [12000, 2, 10],
    [12000, 2, 30],
    [20000, 1.4, 40],
  ])("by Barron in %d m³ with %f s at %d m has the revised theory's level", (volume, time, r) => {
    // Barron and Lee (1988), relative to the direct sound at 10 m: reflected energy 31200 T/V e^{-0.04 r/T} (from memory).
    const room = { volume, surface: 3500, reverberationTime: flat(time) };
    const { diffuse, direct } = levels([source({ x: 0, y: 0, z: 0 })], room, r);
    const published = 10 * Math.log10(((31200 * time) / volume) * Math.exp((-0.04 * r) / time));
    expectAgreement(
      "revised theory, dB",
      [[diffuse[0] - direct[0] - 20 * Math.log10(r / 10), published]],
      0.05,
    );
  });

  it("is 4.77 dB weaker from a cardioid of the same level on its axis, which has a third of the power", () => {
    // Directivity index of a cardioid: 4.77 dB (Eargle, from memory).
    const room = { volume: 6000, surface: 2200, reverberationTime: flat(1.8) };
    const [omni, cardioid] = [0, 0.5].map((a) =>
      levels([source({ x: 0, y: 0, z: 0 }, { pattern: { kind: "first-order", a } })], room, 8),
    );
    expect(omni.diffuse[1] - cardioid.diffuse[1]).toBeCloseTo(4.77, 2);
  });

  it("gains 6.02 dB from two subs in one place, 3.01 dB from two far apart, 3.01 dB from a floor beneath", () => {
    const room = { volume: 6000, surface: 2200, reverberationTime: flat(1.8) };
    const of = (sources: ReturnType<typeof source>[], boundaries: ReturnType<typeof wall>[] = []) =>
      levels(sources, room, 8, { diffuse: "hopkins-stryker" }, boundaries).diffuse[0];
    const one = source({ x: 0, y: 0, z: 0 });
    const alone = of([one]);
    expect(of([one, one]) - alone).toBeCloseTo(6.02, 2);
    expect(of([one, source({ x: 0, y: 30, z: 0 })]) - alone).toBeCloseTo(3.01, 1);
    expect(of([one], [wall("z", 0, 20)]) - alone).toBeCloseTo(3.01, 1);
  });

  it("gives up what the paths already carry, never all of it", () => {
    const room = { volume: 6000, surface: 2200, reverberationTime: flat(1.8) };
    const at = (order: number) =>
      levels([source({ x: 0, y: 0, z: 50 })], room, 8, { order }, [wall("z", 0, 16)]).diffuse[1];
    expect(at(1)).toBeLessThan(at(0) - 0.3);
    expect(at(2)).toBeLessThan(at(1));
    expect(at(4)).toBeGreaterThan(at(0) - 10);
  });
});
