/**
 * A reference and microphones that were recorded on two devices, brought onto one clock.
 *
 * How far two clocks drift apart is a matter of the devices, not of a take: it is found once, from a take of broad band, for
 * subs alone have too few hertz to tell it in a room, and holds for every take of the same two devices.
 */
import { type ClockDrift, clockDrift, correctDrift } from "../measurement/delay/drift";
import type { RecordedTake } from "./show-file";

/** The drift of each pair of devices, in parts per million, as far as it is known. */
export type Clocks = Map<string, number>;

export interface OneClock {
  /** By channel number, as the reference's clock would have recorded them. */
  readonly channels: ReadonlyMap<number, Float64Array>;
  /** Whether it was told how the clocks run. */
  readonly told: boolean;
  /** What was done or could not be told, one sentence; undefined where the clocks agree or nothing new is said. */
  readonly warning?: string;
}

/**
 * Takes out of all channels how far their clock drifts from the reference's.
 *
 * @param take  whose microphones and reference are on two devices
 * @param reference  samples on the one clock
 * @param channels  samples on the other, all of one device
 * @param sampleRate  hertz, nominally of both
 * @param clocks  what earlier takes have told; is added to
 */
export function onOneClock(
  take: RecordedTake,
  reference: Float64Array,
  channels: ReadonlyMap<number, Float64Array>,
  sampleRate: number,
  clocks: Clocks,
): OneClock {
  const device = devicesOf(take);
  const known = clocks.get(device);
  if (known !== undefined) return { channels: corrected(channels, known), told: true };
  const other = typeof take.reference === "number" ? take.recording : take.reference.recording;
  if (take.playing === "subs") {
    return {
      channels,
      told: false,
      warning: `recording "${take.recording}": no take of mains tells whether its clock ran with that of "${other}", and subs alone can't; record the reference on a channel beside the microphones`,
    };
  }
  const drift = firstThatTells(reference, channels, sampleRate);
  if (!drift) {
    return {
      channels,
      told: false,
      warning: `recording "${take.recording}": too short or too noisy to tell whether its clock ran with that of "${other}"; record the reference on a channel beside the microphones`,
    };
  }
  const ppm = beyondChance(drift) ? drift.ppm : 0;
  clocks.set(device, ppm);
  if (ppm === 0) return { channels, told: true };
  return {
    channels: corrected(channels, ppm),
    told: true,
    warning: `recording "${take.recording}": its clock ran ${Math.abs(ppm).toFixed(1)} ppm (± ${drift.uncertainty.toFixed(1)}) ${ppm > 0 ? "faster" : "slower"} than that of "${other}"; corrected by calculation, as in every take of these microphones`,
  };
}

/** Takes of the same microphones on the same channels are of one device. */
function devicesOf({ microphones }: RecordedTake): string {
  return JSON.stringify(Object.entries(microphones).sort());
}

/** Three standard errors instead of two: of many shows hardly one is corrected for nothing. */
const beyondChance = ({ ppm, uncertainty, significant }: ClockDrift) =>
  significant && Math.abs(ppm) > 1.5 * uncertainty;

/** More than this is no drift found but one guessed at, ppm. */
const UNSURE = 10;

/** By stretches of two seconds, or longer ones for what comes round slowly, such as a sweep. */
function firstThatTells(
  reference: Float64Array,
  channels: ReadonlyMap<number, Float64Array>,
  sampleRate: number,
): ClockDrift | undefined {
  for (const stretch of [2, reference.length / sampleRate / 4.5]) {
    for (const samples of channels.values()) {
      try {
        const drift = clockDrift(reference, samples, sampleRate, { stretch });
        if (drift.uncertainty < UNSURE) return drift;
      } catch (error) {
        if (!(error instanceof RangeError)) throw error;
      }
    }
  }
  return undefined;
}

const corrected = (channels: ReadonlyMap<number, Float64Array>, ppm: number) =>
  ppm === 0 ? channels : new Map([...channels].map(([n, each]) => [n, correctDrift(each, ppm)]));
