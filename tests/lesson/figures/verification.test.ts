import { describe, expect, it } from "vitest";
import { verificationFigure } from "../../../lib/lesson/figures/verification";

const third = (frequency_hz: number, departure: number, reached: boolean) => ({
  frequency_hz,
  predicted_db: -10,
  recorded_db: -10 + departure,
  interval_db: 1.5,
  reached,
});
const position = (name: string, thirds: ReturnType<typeof third>[]) => ({
  position: name,
  state: "not reached" as const,
  thirds,
});

describe("the figure of a verification", () => {
  const figure = verificationFigure({
    positions: [
      position("row A", [third(63, 0.5, true), third(80, -7, false)]),
      position("row F", [third(63, 1, true)]),
      { position: "row T", state: "cannot be said", why: "silent", thirds: [] },
    ],
  });
  const points = figure.data.filter(({ mode }) => mode === "markers");

  it("has a point for each third octave, by how much more was recorded, and a bar as far as the errors reach", () => {
    expect(points.flatMap(({ y }) => y as number[])).toEqual([0.5, -7, 1]);
    expect(points.flatMap((p) => (p.error_y as unknown as { array: number[] }).array)).toEqual([
      1.5, 1.5, 1.5,
    ]);
  });

  it("tells what lies beyond its interval by shape and colour", () => {
    const looks = points.map(({ marker }) => (marker as unknown as { symbol: string }).symbol);
    expect(looks).toEqual(["circle", "diamond", "circle"]);
  });

  it("says in words how many lie beyond, and which farthest", () => {
    expect(figure.alt).toContain(
      "row A: 1 of 2 third-octave bands beyond their interval, the farthest 80 Hz by −7.0 dB",
    );
    expect(figure.alt).not.toContain("row T");
  });

  it("refuses to draw nothing", () => {
    expect(() => verificationFigure({ positions: [] })).toThrow(/nothing can be said/);
  });
});
