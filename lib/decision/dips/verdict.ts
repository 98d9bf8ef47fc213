/** What the evidence comes to: one element, several, the room as a whole, something that the file doesn't hold, or nothing that can be said. */
import { chancesOf, FEW, FILLS } from "./chances";
import type { Evidence } from "./evidence";

export type DipVerdict =
  | "one element"
  | "several together"
  | "the room as a whole"
  | "not in the file"
  | "undecided";

export interface Judged {
  readonly verdict: DipVerdict;
  /** Chance that the verdict is right, 0…1; of several, that each of them is. */
  readonly chance: number;
  /** Numbers of the evidence's elements that are named. */
  readonly named: readonly number[];
  /** Chance of each element, 0…1. */
  readonly chances: readonly number[];
}

/** Below these chances nothing is named. */
const NAMED = 0.8;
const SAID = 0.6;
/** Share of a dip that a model must have to have it. */
const MODELLED = 0.5;
export function judged(evidence: Evidence): Judged {
  const { fills, notInFile, whole } = chancesOf(evidence);
  const named = fills
    .map((chance, e) => ({ chance, e }))
    .filter(({ chance, e }) => chance >= NAMED && evidence.filled[e].fraction >= FILLS)
    .sort((a, b) => b.chance - a.chance);
  const answer = (verdict: DipVerdict, chance: number, which: readonly number[] = []): Judged => ({
    verdict,
    chance,
    named: which,
    chances: fills,
  });
  if (named.length === 1) return answer("one element", named[0].chance, [named[0].e]);
  if (named.length > 1 && named.length <= FEW)
    return answer(
      "several together",
      named.reduce((sum, { chance }) => sum + chance, 0) / named.length,
      named.map(({ e }) => e),
    );
  // Of a dip that the model hasn't, its paths say nothing; one that it has is in the file.
  const isModelled = evidence.predicted >= MODELLED;
  if (!isModelled && notInFile >= SAID) return answer("not in the file", notInFile);
  if (isModelled && (whole >= SAID || named.length > FEW)) return answer("the room as a whole", whole);
  return answer("undecided", Math.max(notInFile, whole));
}
