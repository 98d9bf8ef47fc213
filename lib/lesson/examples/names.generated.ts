/** Names of the course's venues and shows, as they lie in data/. Made by `npm run generated`. */
export type ExampleVenue =
  | "ansgrith-church"
  | "estrum-wide-room"
  | "harbour-theatre"
  | "marrowby-long-ballroom"
  | "ombrik-cellar"
  | "pennavoe-assembly-hall"
  | "ulverow-meadow"
  | "vollhaven-arena";
export type ExampleShow = "harbour-theatre";
