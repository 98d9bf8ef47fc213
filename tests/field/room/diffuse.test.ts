import { describe, expect, it } from "vitest";
import { modelSurvey } from "../../../lib/field/model-survey";
import { diffuseField } from "../../../lib/field/room/diffuse";
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
    const { diffuse, direct } = levels([source({ x: 0, y: 0, z: 0 })], room, r, { diffuse: "barron" });
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
      levels([source({ x: 0, y: 0, z: 5 })], room, 8, { order }, [wall("z", 0, 16)]).diffuse[1];
    expect(at(1)).toBeLessThan(at(0) - 0.3);
    expect(at(2)).toBeLessThan(at(1));
    expect(at(4)).toBeGreaterThan(at(0) - 10);
  });
});

// By Eyring, T = 24 ln 10 · V/(c S · −ln(1 − α)), a room of α = ½: there (1 − α)/α is 1.
describe("a diffuse field of a room that absorbs half", () => {
  const [volume, surface, speedOfSound] = [6000, 2200, 340];
  const time = (24 * Math.LN10 * volume) / (speedOfSound * surface * Math.LN2);
  const room = { volume, surface, reverberationTime: flat(time) };
  const origin = { x: 0, y: 0, z: 0 };
  const at = (
    x: number,
    more: Partial<Parameters<typeof diffuseField>[3]> = {},
    positions = [{ point: origin, fraction: 1 }],
  ) =>
    diffuseField(room, { power: Float64Array.of(2, 6), positions }, frequency, {
      model: "hopkins-stryker",
      order: 0,
      modelledArea: 0,
      speedOfSound,
      ...more,
    })({ ...origin, x });

  it("has by Hopkins and Stryker 16π/S of each frequency's power", () => {
    const [low, high] = at(5);
    expect(low).toBeCloseTo((2 * 16 * Math.PI) / surface, 12);
    expect(high / low).toBeCloseTo(3, 12);
  });

  it("gives to paths along half of the surface ¼ of the first order, 1/16 of the second, and to all of it no more than all", () => {
    const left = (order: number, modelledArea: number) => at(5, { order, modelledArea })[0] / at(5)[0];
    expect(left(1, surface / 2)).toBeCloseTo(1 - 1 / 4, 12);
    expect(left(2, surface / 2)).toBeCloseTo(1 - 1 / 4 - 1 / 16, 12);
    expect(left(3, surface)).toBeCloseTo(1 / 8, 12);
    expect(left(3, 5 * surface)).toBeCloseTo(1 / 8, 12);
  });

  it("falls by Barron by 60 dB in the way that sound goes in T, from the sources' mean distance", () => {
    const barron = { model: "barron" } as const;
    const way = speedOfSound * time;
    expect(at(way, barron)[0] / at(0, barron)[0]).toBeCloseTo(1e-6, 12);
    // At the source all of the decay: 4π c T/(6 ln 10 · V).
    expect(at(0, barron)[0]).toBeCloseTo((2 * 4 * Math.PI * way) / (6 * Math.LN10 * volume), 9);
    const two = [
      { point: { x: 10, y: 0, z: 0 }, fraction: 0.25 },
      { point: { x: 0, y: 50, z: 0 }, fraction: 0.75 },
    ];
    expect(at(0, barron, two)[1]).toBeCloseTo(at(40, barron)[1], 12);
  });

  it("without a time is refused", () => {
    const dead = { ...room, reverberationTime: flat(0) };
    const of = { model: "barron", order: 0, modelledArea: 0, speedOfSound } as const;
    expect(() => diffuseField(dead, { power: frequency, positions: [] }, frequency, of)).toThrow(
      "reverberation time is 0",
    );
  });
});
