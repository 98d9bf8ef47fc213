/**
 * The level at which a target is meant. The ear hears less of low frequencies at lower levels, so a balance that is right at one is thin
 * at a lower one.
 */
import { equalLoudness } from "../../acoustics/level/loudness";
import { inDecibels } from "../../text/decibels";

/**
 * A loud concert: some 96 dB(A) where every third octave has as much. Common practice, no source.
 */
export const USUAL_LEVEL = 85;

/** Middle of the low band over log frequency, hertz. */
const LOW = 50;
/** What a fader is brought down by in the example, dB. */
const DOWN = 10;

/**
 * Bass to be added for the same balance of loudness where everything is played softer: at 50 Hz, relative to 1 kHz.
 *
 * @param level  at which the target is meant, dB re 20 µPa a third octave in the mid band
 * @param down  how much softer it is played, dB
 * @returns dB
 * @source equal-loudness-level contours of pure tones, ISO 226:2003, 4.1; check: tests/decision/offset/target-level.test.ts
 */
export function bassForLess(level: number, down: number): number {
  return equalLoudness(level - down, LOW) - (equalLoudness(level, LOW) - down);
}

/** @throws RangeError where equal loudness is not given at that level */
export function requireTargetLevel(level: number): void {
  if (level >= 50 && level <= 90) return;
  throw new RangeError(
    `targetLevel is ${level}, expected 50 to 90 dB, a third octave in the mid band: for these equal loudness is given`,
  );
}

/** Said with a target. */
export function targetLevelReason(level: number): string {
  return `The target is meant at a listening level of ${level} dB a third octave in the mid band. Played ${DOWN} dB softer it would want about ${Math.round(bassForLess(level, DOWN))} dB more bass to sound alike (equal loudness, ISO 226:2003).`;
}

/**
 * What a change of the subs' level takes of their headroom.
 *
 * @param offset  of the subs, dB
 * @param headroom  how far they can be raised before their limiter, dB; undefined where that is not known
 * @returns a sentence; nothing where a level that is not raised takes nothing that is known
 */
export function headroomReason(offset: number, headroom: number | undefined): string | undefined {
  if (headroom !== undefined) {
    const left = headroom - offset;
    return left < 0.05
      ? "Nothing is left of the subs' headroom: from here on their limiter takes the peaks, and raising them changes only what is soft."
      : `Of the subs' headroom ${inDecibels(left)} are left; a peak that wants more is taken by their limiter.`;
  }
  if (offset < 0.5) return undefined;
  return `Raised by ${inDecibels(offset)} the subs need ${(10 ** (offset / 10)).toFixed(1)} times the power; whether their amplifiers have it before the limiter acts is not known here.`;
}
