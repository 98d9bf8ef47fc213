/** The seats that decide, by the model. */
import { logGrid } from "../../acoustics/bands/bands";
import { layoutFrequencies } from "../../decision/layouts/context";
import type { Survey } from "../../survey/survey";
import { seats } from "../../venue/seats";
import type { Venue } from "../../venue/venue";
import { knownSurvey } from "./known-survey";

/**
 * The model at seats spread over the audience, with as many reflections as the microphones hear: who decides well by what
 * they measured, or by the model, has decided well.
 *
 * @param venue  as it really is
 * @param count  about how many seats
 */
export function audienceOf(venue: Venue, count = SEATS): Survey {
  return knownSurvey(venue, seats(venue, { count }), { frequency: judgedFrequencies() });
}

/** Seats that decide, about. */
export const SEATS = 100;

/** Twelve frequencies to the octave through the crossover, four to the third octave in the mid band. */
function judgedFrequencies(): Float64Array {
  const bands = layoutFrequencies().filter((f) => f < LOW || f > HIGH);
  return Float64Array.from([...logGrid(LOW, HIGH, 33), ...bands]).sort();
}

const LOW = 27.5;
const HIGH = 180;
