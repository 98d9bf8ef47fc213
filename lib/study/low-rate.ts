/** A take at a rate that is enough for the bands that decide: what is asked of those alone is found in a fraction of the time. */
import { decimate } from "../measurement/signals/decimate";
import type { OpenTake } from "./open-take";
import type { Take } from "./show-file";

/** Samples a second: decimated, a recording is true to 0.7 of half of it, which holds the third octave of 2 kHz. */
const RATE = 6500;
/** Of subs alone a quarter of it; a whole part, so that windows of some seconds have the same frequencies as the other takes'. */
const FOR_SUBS = 4;

/** The same take, less the channels that can't be used. */
export function atLowRate(opened: OpenTake, playing: Take["playing"]): OpenTake {
  const factor = Math.max(1, Math.floor(opened.sampleRate / RATE)) * (playing === "subs" ? FOR_SUBS : 1);
  const reference = decimate(opened.reference, factor);
  const usable = [...opened.channels].filter(([number]) => !opened.faulty.has(number));
  const channels = usable.map(
    ([number, samples]) =>
      [number, samples === opened.reference ? reference : decimate(samples, factor)] as const,
  );
  return { ...opened, reference, channels: new Map(channels), sampleRate: opened.sampleRate / factor };
}
