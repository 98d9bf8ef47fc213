/** The capstones: venues that no lesson has shown, what there is to measure with, and how long. */

export interface CapstoneEntry {
  readonly id: string;
  /** File name in data/capstones, without its ending. */
  readonly venue: string;
  readonly situation: string;
  /** Microphones that can stand at once. */
  readonly microphones: number;
  readonly minutes: number;
  /** Error that somebody left in the subs' level, dB, smallest and largest; either way. */
  readonly level: readonly [number, number];
  /** … and in their delay, ms. */
  readonly delay: readonly [number, number];
}

export const capstones = [
  {
    id: "quarry",
    venue: "ulmerick-quarry-stage",
    situation:
      "Open air on terraces of stone. The system was set for yesterday's spoken theatre by someone who has left. The engineer arrives in an hour, has never been here, and will read what you write on the way from the gate.",
    microphones: 5,
    minutes: 40,
    level: [4, 7],
    delay: [2, 4],
  },
  {
    id: "market-hall",
    venue: "corvane-market-hall",
    situation:
      "A long hall of iron and glass with a gallery over its far third. The rental company has wired it overnight, and its notes got wet. The market closes at noon; until then there are forty-odd minutes between deliveries.",
    microphones: 6,
    minutes: 45,
    level: [4, 8],
    delay: [2, 5],
  },
  {
    id: "depot",
    venue: "dreyvik-tram-depot",
    situation:
      "A low depot of concrete, a stage over the old inspection pits. The afternoon's party changed everything that has a knob. The fire officer gives you half an hour of noise.",
    microphones: 5,
    minutes: 32,
    level: [5, 8],
    delay: [2, 4],
  },
] as const satisfies readonly CapstoneEntry[];

/** Names of the capstones, so that an editor completes them. */
export type CapstoneId = (typeof capstones)[number]["id"];
