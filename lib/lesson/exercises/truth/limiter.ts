/** A limiter of the subs that works while one measures, since a run is louder than the show. */
import { between } from "../kinds/faults";

/** Draws by how many decibels it holds the subs down as they were found: in every second venue not at all. */
export const drawLimiter = (random: () => number): number => (random() < 0.5 ? between(random, 3, 7) : 0);

/**
 * By how many decibels the subs are held down.
 *
 * @param found  … as they were found
 * @param gain  by how many they are raised from there
 */
export const heldDown = (found: number, gain: number): number => (found > 0 ? Math.max(0, found + gain) : 0);

/** Said in the question. */
export const limiterInWords =
  "A run is louder than the show, and a limiter may hold the subs down in it; in the show it rests. A run with the subs 10 dB down tells: with less than 10 dB between the two, it worked in the first.";
