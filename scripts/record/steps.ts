/** Which takes a show is made of, in their order, position by position where there are fewer microphones than positions. */

export type StepKind = "match" | "noise" | "mains" | "subs" | "both" | "walk";

export interface Step {
  /** Name of its first file without the ending. */
  readonly id: string;
  readonly kind: StepKind;
  /** Where its microphones stand, in their order; nowhere in particular for those of the match and of a walk. */
  readonly where: readonly string[];
  readonly title: string;
  readonly says: string;
  /** Whether the test signal plays. */
  readonly plays: boolean;
  /** The longest that it takes for a walk, which a person ends. */
  readonly seconds: number;
  /** Whether a show does without it. */
  readonly optional: boolean;
}

/**
 * @param rounds   where the microphones stand, and where after each move
 * @param seconds  that the signal plays in a take
 */
export function stepsOf(rounds: readonly (readonly string[])[], seconds: number): Step[] {
  const step = (kind: StepKind, round: number, length = seconds): Step => ({
    id: round > 0 ? `${kind}-${round + 1}` : kind,
    kind,
    where: kind === "match" || kind === "walk" ? [] : (rounds[round] ?? []),
    ...words[kind],
    plays: kind !== "noise",
    seconds: length,
    optional: kind === "walk",
  });
  return [
    step("match", 0, Math.min(15, seconds)),
    step("noise", 0, 15),
    ...rounds.flatMap((_, round) => (["mains", "subs", "both"] as const).map((kind) => step(kind, round))),
    step("walk", 0, LONGEST_WALK),
  ];
}

/** Seconds: 60 m at half a metre a second. */
const LONGEST_WALK = 120;

const words: { readonly [kind in StepKind]: { readonly title: string; readonly says: string } } = {
  match: {
    title: "Microphones together",
    says: "All microphones side by side, capsules within 15 cm, mains alone. Lets differences between them be corrected.",
  },
  noise: {
    title: "Noise floor",
    says: "Microphones at their positions, all loudspeakers muted, nobody speaks or walks.",
  },
  mains: { title: "Mains alone", says: "Subs muted." },
  subs: { title: "Subs alone", says: "Mains and fills muted." },
  both: { title: "Mains and subs together", says: "Everything as in the show." },
  walk: {
    title: "A walk",
    says: "Everything as in the show. One microphone is carried at ear height from the front row to the back, about half a metre a second, and a key pressed as it passes each position. Shows where subs and mains part on the way, and where to stop.",
  },
};

/** Positions of each round: the first as many as there are microphones, then the next. */
export function roundsOf(positions: readonly string[], microphones: number): string[][] {
  const each = Math.max(1, microphones);
  return Array.from({ length: Math.max(1, Math.ceil(positions.length / each)) }, (_, round) =>
    positions.slice(round * each, (round + 1) * each),
  );
}

/**
 * Rounds with further points around positions after those of the positions themselves.
 *
 * @param points  how many points each position has in all; by default one, itself
 */
export function roundsWithPoints(
  positions: readonly string[],
  points: ReadonlyMap<string, number>,
  microphones: number,
): string[][] {
  const further = positions.flatMap((position) =>
    Array.from({ length: (points.get(position) ?? 1) - 1 }, (_, i) => `${position}/${i + 2}`),
  );
  return [...roundsOf(positions, microphones), ...(further.length ? roundsOf(further, microphones) : [])];
}
