/** The recording of a calibrator on one of a show's microphones: what makes its levels absolute. */
import type { MicrophoneMatch } from "../measurement/health/microphones";
import { load, refuseFaulty } from "./open-take";
import { pascalScale, type SentSignal } from "./pascals";
import type { Show } from "./read-show";

/** Pascals for a ratio of 1, where there is a calibrator's recording. */
export function calibrated(
  show: Show,
  microphones: readonly MicrophoneMatch[],
  sent: SentSignal | undefined,
  warnings: string[],
): number | undefined {
  const given = show.file.microphoneMatch?.calibrator;
  if (!given || !sent) return undefined;
  const microphone = given.microphone ?? given.channel;
  const match = microphones.find((m) => m.channel === microphone);
  if (!match) {
    throw new RangeError(
      `the calibrator sat on the microphone of channel ${microphone}, which was not matched with the others: name one of microphoneMatch.channels in microphoneMatch.calibrator.microphone`,
    );
  }
  const opened = load(
    show,
    given.recording,
    "microphoneMatch.calibrator.recording",
    [given.channel],
    warnings,
  );
  refuseFaulty(opened.faulty.get(given.channel));
  const { level } = given;
  const tone = { samples: opened.channels.get(given.channel)!, sampleRate: opened.sampleRate };
  const scale = pascalScale({ ...tone, ...(level !== undefined && { level }) }, match, sent);
  warnings.push(...scale.warnings);
  return scale.pascalsPerRatio;
}
