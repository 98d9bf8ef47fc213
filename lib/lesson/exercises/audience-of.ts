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
export function audienceOf(venue: Venue, count = 100): Survey {
  return knownSurvey(venue, seats(venue, { count }), { frequency: judgedFrequencies() });
}

/**
 * How many seats decide, about, where a mean over decibels does: 100, or so many more that no column of them stands on the centre line. There
 * an inverted stack cancels the other, and a column in the null would speak for people metres beside it.
 */
export function seatsOffAxis(venue: Venue): number {
  const onAxis = (count: number) => {
    const all = seats(venue, { count });
    return all.filter(({ point }) => Math.abs(point.y) < ON_AXIS).length / all.length;
  };
  return COUNTS.find((count) => onAxis(count) <= FEW) ?? COUNTS[0];
}
const COUNTS = [100, 105, 110, 115, 120, 125, 130, 135, 140];
/** Metres. */
const ON_AXIS = 0.3;
/** Share of the seats that may stand there. */
const FEW = 0.05;

/** Twelve frequencies to the octave through the crossover, four to the third octave in the mid band. */
function judgedFrequencies(): Float64Array {
  const bands = layoutFrequencies().filter((f) => f < LOW || f > HIGH);
  return Float64Array.from([...logGrid(LOW, HIGH, 33), ...bands]).sort();
}

const LOW = 27.5;
const HIGH = 180;
