/**
 * Names that the course knows, as types: whoever writes one within quotes is offered them. Any other text is taken too, and
 * answered with the names there are. `tests/scripts/writing.test.ts` holds them to what there is.
 */
type AnyText = string & Record<never, never>;

export type ExerciseName =
  | "theatre-mix"
  | "theatre-level"
  | "theatre-dip"
  | "theatre-stand"
  | "theatre-place"
  | "cellar-everything"
  | "cellar-sum-dip"
  | "cellar-level"
  | "cellar-wiring"
  | "cellar-polarity"
  | "cellar-place"
  | "ballroom-polarity"
  | "ballroom-delay"
  | "ballroom-level"
  | "ballroom-worst"
  | "ballroom-microphones"
  | "ballroom-mix"
  | "ballroom-trim"
  | "wide-level"
  | "wide-layout"
  | "wide-microphones"
  | "wide-place"
  | "arena-level"
  | "arena-microphone"
  | "arena-mix"
  | "meadow-everything"
  | "meadow-level"
  | "meadow-worst"
  | "meadow-stage"
  | "meadow-delay"
  | "meadow-trim"
  | "church-delay"
  | "church-level"
  | "church-microphones"
  | "church-microphone"
  | "hall-mix"
  | "hall-dip"
  | "hall-layout"
  | "hall-level"
  | AnyText;

export type CapstoneName = "quarry" | "market-hall" | "depot" | AnyText;

export type VenueName =
  | "ansgrith-church"
  | "estrum-wide-room"
  | "harbour-theatre"
  | "marrowby-long-ballroom"
  | "ombrik-cellar"
  | "pennavoe-assembly-hall"
  | "ulverow-meadow"
  | "vollhaven-arena"
  | AnyText;

export type ShowName = "harbour-theatre" | AnyText;
