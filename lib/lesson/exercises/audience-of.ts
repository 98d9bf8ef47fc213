/** The seats that decide, by the model. */
import { logGrid } from "../../acoustics/bands";
import { layoutFrequencies } from "../../decision/layout-ground";
import { modelSurvey } from "../../field/model-survey";
import type { Survey } from "../../survey/survey";
import { seats } from "../../venue/seats";
import type { Venue } from "../../venue/venue";

/**
 * The model at seats spread over the audience, with one reflection: answers are compared with each other, and a hundred seats
 * take half a second.
 *
 * @param venue  as it really is
 * @param count  about how many seats
 */
export function audienceOf(venue: Venue, count = 100): Survey {
  return modelSurvey(venue, seats(venue, { count }), { frequency: judgedFrequencies(), order: 1 });
}

/** Twelve frequencies to the octave through the crossover, four to the third octave in the mid band. */
function judgedFrequencies(): Float64Array {
  const bands = layoutFrequencies().filter((f) => f < LOW || f > HIGH);
  return Float64Array.from([...logGrid(LOW, HIGH, 33), ...bands]).sort();
}

const LOW = 27.5;
const HIGH = 180;
