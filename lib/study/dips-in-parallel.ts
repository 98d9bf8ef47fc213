/** Dips and their causes, in a thread of their own where it takes experiments by waves. */
import type { ExplainedDip } from "../decision/dips/causes";
import { cutOf, noWaves } from "../field/waves/low-band";
import type { Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";
import { explainedDips } from "./dip-work";
import { sent } from "./sent";
import { startThread, threadsHere } from "./threads";

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
  const worker = startThread({ dips: { venue, survey, cut: cutOf(venue), to: found.sender } }, [
    found.sender.port,
  ]);
  return () => {
    const dips = found.take();
    void worker.terminate();
    return dips ? dips.value : here();
  };
}
