const { readFileSync } = require("node:fs");
const { acoustics, decide, predict, read, venues } = require("evenground");

const venue = read.venueText(readFileSync(process.argv[2], "utf8"), "venue.json");
const survey = predict.survey(venue, venues.seats(venue, { count: 40 }));
const { offset_db } = decide.offset(survey);
console.log(JSON.stringify({ notches: acoustics.reflection.notches(2, 343, 300), offset_db }));
