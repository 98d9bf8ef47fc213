/** Surveys for tests, made from sources whose response is known without any model of ours. */
import { logGrid } from "../../lib/acoustics/bands/bands";
import { distance, type Point } from "../../lib/acoustics/point";
import type { Response } from "../../lib/acoustics/response";
import type { Position, Survey } from "../../lib/survey/survey";

export const frequency = logGrid(20, 16000, 240);

/** A response of constant level and phase; levels in dB re 1. */
export function flat(level: number, phase = 0, f = frequency): Response {
  const a = 10 ** (level / 20);
  return {
    frequency: f,
    re: new Float64Array(f.length).fill(a * Math.cos(phase)),
    im: new Float64Array(f.length).fill(a * Math.sin(phase)),
  };
}

/** Silence. */
export const silent = (f = frequency): Response => ({
  frequency: f,
  re: new Float64Array(f.length),
  im: new Float64Array(f.length),
});

/** A response above or below a frequency only, 0 elsewhere: a crossover without overlap. */
export function banded(response: Response, from: number, to: number): Response {
  const keep = (x: Float64Array) =>
    x.map((v, i) => (response.frequency[i] >= from && response.frequency[i] <= to ? v : 0));
  return { ...response, re: keep(response.re), im: keep(response.im) };
}

export function position(id: string, point: Partial<Point> = {}, people = 1, area = "stalls"): Position {
  return { id, point: { x: 10, y: 0, z: 1.2, ...point }, area, people };
}

export function survey(
  positions: readonly Position[],
  mains: readonly Response[],
  subs: readonly Response[],
  quantity: Survey["quantity"] = "ratio",
): Survey {
  return { name: "invented", quantity, frequency: mains[0].frequency, positions, mains, subs };
}

/**
 * Subs below 120 Hz and mains above, with these levels in dB at each position: the balance is then the difference of
 * two numbers, whatever the phase.
 */
export function ratios(subsOverMains: readonly number[], people?: readonly number[]): Survey {
  return survey(
    subsOverMains.map((_, i) => position(`p${i}`, { x: 2 + i }, people?.[i] ?? 1)),
    subsOverMains.map(() => banded(flat(0), 120, 20000)),
    subsOverMains.map((level, i) => banded(flat(level, i), 0, 120)),
  );
}

/** A point source in free space: 1/r and the delay of the path. */
export function pointSource(from: Point, to: Point, level = 0, c = 343, f = frequency): Response {
  const r = distance(from, to);
  const a = 10 ** (level / 20) / r;
  return {
    frequency: f,
    re: f.map((x) => a * Math.cos((2 * Math.PI * x * r) / c)),
    im: f.map((x) => -a * Math.sin((2 * Math.PI * x * r) / c)),
  };
}
