/** Dips and their causes, in a thread of their own where it takes experiments by waves. */
import { type ExplainedDip, explainDips } from "../decision/dips/causes";
import { findDips } from "../decision/dips/dips";
import { noWaves, recordedOf, type WaveRecordings } from "../field/waves/low-band";
import type { Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";
import { type Sender, sent } from "./sent";
import { startThread, threadsHere } from "./threads";

/** What the thread gets to do. */
export interface DipWork {
  readonly venue: Venue;
  readonly survey: Survey;
  /** What this one has of the venue already. */
  readonly waves: WaveRecordings;
  readonly to: Sender;
}

/**
 * Starts to explain a survey's dips.
 *
 * @param threads  how many threads at most, this one counted; as many as the machine has cores when left out
 * @returns waits for them
 */
export function startExplaining(
  survey: Survey,
  venue: Venue,
  threads = threadsHere(),
): () => readonly ExplainedDip[] {
  const here = () => explainedDips(survey, venue);
  if (threads < 2 || noWaves(venue)) return here;
  const found = sent<ExplainedDip[]>();
  const worker = startThread({ dips: { venue, survey, waves: recordedOf(venue), to: found.sender } }, [
    found.sender.port,
  ]);
  return () => {
    const dips = found.take();
    void worker.terminate();
    return dips ? dips.value : here();
  };
}

/** @param alive  called while waves are computed */
export const explainedDips = (survey: Survey, venue: Venue, alive?: () => void): ExplainedDip[] =>
  explainDips(findDips(survey), venue, survey, { progress: alive });
