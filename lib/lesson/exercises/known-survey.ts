/** The model of a venue at places that were asked for before: variants of one room ask for the same. */
import { latest } from "../../field/latest";
import { modelSurvey } from "../../field/model-survey";
import type { Position, Survey } from "../../survey/survey";
import type { Venue } from "../../venue/venue";

/** As `modelSurvey`. */
export function knownSurvey(
  venue: Venue,
  positions: readonly Position[],
  options: { readonly frequency?: Float64Array } = {},
): Survey {
  const { name, air, sources, boundaries, cavities, room } = venue;
  const frequency = options.frequency && [...options.frequency];
  const key = JSON.stringify([name, air, sources, boundaries, cavities, room, positions, frequency]);
  return surveys(key, () => modelSurvey(venue, positions, options));
}

/** So many that a room's suspects stay, each with its seats and its mix zone; one holds a megabyte or two. */
const surveys = latest<Survey>(32);
