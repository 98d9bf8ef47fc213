/**
 * A reference and microphones that were recorded on two devices, brought onto one clock.
 */
import { clockDrift, correctDrift, type DriftOptions } from "../measurement/delay/drift";

export interface OneClock {
  /** By channel number, as the reference's clock would have recorded them. */
  readonly channels: ReadonlyMap<number, Float64Array>;
  /** How far apart the clocks ran; undefined where no channel can tell. */
  readonly ppm?: number;
  /** What was done or could not be told, one sentence; undefined where the clocks agree. */
  readonly warning?: string;
}

/**
 * Finds how far two clocks drift apart, from the first channel that can tell, and takes it out of all of them.
 *
 * @param names  of the recording and of the reference's, for the warning
 * @param reference  samples on the one clock
 * @param channels  samples on the other, all of one device
 * @param sampleRate  hertz, nominally of both
 * @param options  delays looked for and band
 */
export function onOneClock(
  names: { readonly recording: string; readonly reference: string },
  reference: Float64Array,
  channels: ReadonlyMap<number, Float64Array>,
  sampleRate: number,
  options: DriftOptions = {},
): OneClock {
  for (const samples of channels.values()) {
    try {
      const { ppm, uncertainty, significant } = clockDrift(reference, samples, sampleRate, options);
      if (!significant) return { channels, ppm };
      const corrected = new Map([...channels].map(([n, each]) => [n, correctDrift(each, ppm)]));
      const how = ppm > 0 ? "faster" : "slower";
      return {
        channels: corrected,
        ppm,
        warning: `recording "${names.recording}": its clock ran ${Math.abs(ppm).toFixed(1)} ppm (± ${uncertainty.toFixed(1)}) ${how} than that of "${names.reference}"; corrected by calculation`,
      };
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
    }
  }
  return {
    channels,
    warning: `recording "${names.recording}": too short or too noisy to tell whether its clock ran with that of "${names.reference}"; record the reference on a channel beside the microphones`,
  };
}
