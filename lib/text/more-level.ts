/** What else may be done where a measurement lies too near the noise; what it takes goes before the level. */
export const moreLevel =
  "measure longer, with less noise, or, once the room is empty and whoever stays wears hearing protection, louder";
