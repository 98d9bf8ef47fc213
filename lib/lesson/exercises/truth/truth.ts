/** What really stands in a venue, other than drawn, and what its microphones make of it. */
import type { Venue } from "../../../venue/venue";
import { oneOf } from "../kinds/faults";
import { drawFault, type MicrophoneFault } from "./microphone-faults";
import { type Suspect, suspectsOf } from "./suspects";

export interface Truth {
  readonly venue: Venue;
  /** What may be otherwise than drawn; one of it is. */
  readonly suspects: readonly Suspect[];
  readonly fault: MicrophoneFault;
}

/**
 * Draws what is otherwise than drawn, and which microphone has which fault.
 *
 * @param microphones  how many there are
 */
export function drawTruth(drawing: Venue, random: () => number, microphones: number): Truth {
  const suspects = suspectsOf(drawing);
  const { venue } = oneOf(random, suspects);
  return { venue, suspects, fault: drawFault(random, microphones) };
}

/** Said before the choices, in the question. */
export function suspectsInWords(suspects: readonly Suspect[]): string {
  const list = suspects.map(({ what }, i) => `${i + 1} ${what}`).join("; ");
  return `Something is not as drawn, and the house suspects one of these: ${list}. One microphone has a fault, or two have each other's label.`;
}

/** Rooms that an exercise of this kind has, so that a class computes few: the rest of a variant is drawn anew in each. */
export const ROOMS = 5;
