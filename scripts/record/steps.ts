/** Which takes a show is made of, in their order, position by position where there are fewer microphones than positions. */

export type StepKind = "match" | "noise" | "mains" | "subs" | "both";

export interface Step {
  /** Name of its file without the ending. */
  readonly id: string;
  readonly kind: StepKind;
  /** From 0; the microphones stand elsewhere in each. */
  readonly round: number;
  readonly title: string;
  readonly says: string;
  /** Whether the test signal plays. */
  readonly plays: boolean;
  readonly seconds: number;
}

/**
 * @param rounds   how often the microphones are moved, and the first time
 * @param seconds  that the signal plays in a take
 */
export function stepsOf(rounds: number, seconds: number): Step[] {
  const named = (id: string, round: number) => (rounds > 1 ? `${id}-${round + 1}` : id);
  const perRound = (["mains", "subs", "both"] as const).map((kind) => ({ kind, ...words[kind] }));
  return [
    { id: "match", kind: "match", round: 0, ...words.match, plays: true, seconds: Math.min(15, seconds) },
    { id: "noise", kind: "noise", round: 0, ...words.noise, plays: false, seconds: 15 },
    ...Array.from({ length: rounds }, (_, round) =>
      perRound.map((step) => ({ ...step, id: named(step.kind, round), round, plays: true, seconds })),
    ).flat(),
  ];
}

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
};

/** Positions of each round: the first as many as there are microphones, then the next. */
export function roundsOf<T>(positions: readonly T[], microphones: number): T[][] {
  const each = Math.max(1, microphones);
  return Array.from({ length: Math.max(1, Math.ceil(positions.length / each)) }, (_, round) =>
    positions.slice(round * each, (round + 1) * each),
  );
}
