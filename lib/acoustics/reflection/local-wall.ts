/** A locally reacting wall: how what it absorbs depends on where the sound comes from. */
import { requireWithin } from "../../guard/arguments";

/**
 * What a wall absorbs of sound from all directions, from what it absorbs of sound that meets it squarely, as in an impedance tube.
 *
 * Paris' mean over all directions for a wall of real admittance y, in units of 1/ρc, that nothing runs along behind:
 * 8y (1 + y/(1 + y) − 2y ln(1 + 1/y)), with y = (1 − √(1−α))/(1 + √(1−α)).
 *
 * @param normal  energy absorption at normal incidence, 0…1
 * @returns energy absorption at random incidence: up to about twice as much, at most 0.951
 * @throws RangeError when the absorption is outside 0…1
 * @source Paris, Philosophical Magazine 5 (1928), 489-497; Kuttruff, Room Acoustics, section 2.5 (both from memory);
 *   check: tests/acoustics/reflection/local-wall.test.ts
 */
export function randomAbsorption(normal: number): number {
  requireWithin("absorption at normal incidence", normal, 0, 1);
  const kept = Math.sqrt(1 - normal);
  return absorptionOf((1 - kept) / (1 + kept));
}

/** Absorption of a locally reacting wall of real admittance, in units of 1/ρc, for sound from all directions: Paris' mean. */
export function absorptionOf(y: number): number {
  if (y < 1e-9) return 8 * y;
  return 8 * y * (1 + y / (1 + y) - 2 * y * Math.log(1 + 1 / y));
}
