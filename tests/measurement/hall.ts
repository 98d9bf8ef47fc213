/**
 * An invented system at one place: flown mains above a crossover, subs below it, each with its distance and one reflection.
 *
 * The crossover is a pair of fourth-order sections whose sum has magnitude 1, written down from the analogue prototype
 * 1 / (s² + √2 s + 1), squared, so that no filter of the library takes part.
 */

import { logGrid } from "../../lib/acoustics/bands/bands";
import type { Response } from "../../lib/acoustics/response";
import type { Seeded } from "./seeded";

const crossover = 90;

export const grid = logGrid(20, 16_000, 240);

export interface Place {
  readonly mainsDelay: number;
  readonly subsDelay: number;
  readonly mainsLevel: number;
  readonly subsLevel: number;
  readonly reflection: { readonly delay: number; readonly gain: number };
}

export function somePlace(random: Seeded): Place {
  const delay = 0.02 + 0.08 * random.uniform();
  return {
    mainsDelay: delay,
    subsDelay: delay + 0.008 * (random.uniform() - 0.5),
    mainsLevel: 0.5 + random.uniform(),
    subsLevel: 1 + 2 * random.uniform(),
    reflection: { delay: 0.003 + 0.01 * random.uniform(), gain: 0.2 + 0.3 * random.uniform() },
  };
}

/** Mains and subs without error. */
export function at(position: Place, frequency = grid): { mains: Response; subs: Response } {
  const path = (delay: number, level: number, highPass: boolean): Response => {
    const re = new Float64Array(frequency.length);
    const im = new Float64Array(frequency.length);
    frequency.forEach((f, i) => {
      const x = f / crossover;
      // 1 / (1 − x² + j√2 x), squared; the high-pass has x⁴ above it.
      const a = 1 - x * x;
      const b = Math.SQRT2 * x;
      const d = a * a + b * b;
      let [hr, hi] = [(a * a - b * b) / d ** 2, (-2 * a * b) / d ** 2];
      if (highPass) [hr, hi] = [hr * x ** 4, hi * x ** 4];
      const turn = (t: number) => 2 * Math.PI * f * t;
      const { delay: late, gain } = position.reflection;
      const pr = level * (Math.cos(turn(delay)) + gain * Math.cos(turn(delay + late)));
      const pi = -level * (Math.sin(turn(delay)) + gain * Math.sin(turn(delay + late)));
      re[i] = hr * pr - hi * pi;
      im[i] = hr * pi + hi * pr;
    });
    return { frequency, re, im };
  };
  return {
    mains: path(position.mainsDelay, position.mainsLevel, true),
    subs: path(position.subsDelay, position.subsLevel, false),
  };
}

/**
 * A measurement of a response: complex Gaussian error at each frequency of mean square N / n, as n averages of a signal
 * of power 1 with noise of power N at the microphone leave it. As in a real one the coherence comes from what was
 * measured, |H|² / (|H|² + N).
 */
export function measured(response: Response, noise: number, averages: number, random: Seeded): Response {
  const sigma = Math.sqrt(noise / averages / 2);
  const re = response.re.map((x) => x + sigma * random.normal());
  const im = response.im.map((x) => x + sigma * random.normal());
  const coherence = re.map((x, i) => (x * x + im[i] ** 2) / (x * x + im[i] ** 2 + noise));
  return { frequency: response.frequency, re, im, coherence, averages: re.map(() => averages) };
}

/** Later by `delay` seconds and `gain` times as strong. */
export function changed({ frequency, re, im }: Response, gain: number, delay = 0): Response {
  const turn = (i: number) => 2 * Math.PI * frequency[i] * delay;
  return {
    frequency,
    re: re.map((x, i) => gain * (x * Math.cos(turn(i)) + im[i] * Math.sin(turn(i)))),
    im: im.map((y, i) => gain * (y * Math.cos(turn(i)) - re[i] * Math.sin(turn(i)))),
  };
}

export function sum(a: Response, b: Response): Response {
  return { frequency: a.frequency, re: a.re.map((x, i) => x + b.re[i]), im: a.im.map((y, i) => y + b.im[i]) };
}
