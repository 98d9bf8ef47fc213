/** Limits far outside any recording, so that a slip of the unit is told before memory is asked for. */
import { requireWithin } from "../../guard/arguments";

/** Throws a RangeError unless it is a sample rate that sound is recorded at, hertz. */
export const requireSampleRate = (sampleRate: number): void =>
  requireWithin("sample rate", sampleRate, 100, 1e7);

/** Throws a RangeError unless it is a delay of sound and machines, seconds: a minute is 20 km. */
export const requireDelay = (name: string, seconds: number): void => requireWithin(name, seconds, -60, 60);
