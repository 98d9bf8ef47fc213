// What somebody writes who has only the package: a reflection, then the level of the subs for an audience.
import { acoustics, decide, predict, read, venues } from "evenground";

/** @param {string} text  a venue file */
export function answers(text) {
  const venue = read.venueText(text, "venue.json");
  const survey = predict.survey(venue, venues.seats(venue, { count: 40 }));
  return {
    notches: acoustics.reflection.notches(2, 343, 300),
    offset_db: decide.offset(survey).offset_db,
  };
}
