// Strict TypeScript, without DOM and without Node.js: what comes in and what goes out has a type.
import {
  acoustics,
  decide,
  type OffsetResult,
  predict,
  read,
  type Survey,
  type Venue,
  venues,
} from "evenground";

const venue: Venue = read.venueText("{}", "venue.json");
const survey: Survey = predict.survey(venue, venues.seats(venue, { count: 40 }));
const result: OffsetResult = decide.offset(survey, { mixPositions: ["mix position"] });
export const offset: number = result.offset_db;
export const notches: number[] = acoustics.reflection.notches(2, 343, 300);
// @ts-expect-error a survey is no venue
predict.survey(survey, []);
