/** The setting that was entered: what each group was changed by since it was measured. */
import type { ShowAnswer } from "../answer";
import type { EnteredInFile } from "../show-file";

/** A change of one group. */
export interface GroupChange {
  /** dB; positive is louder. */
  readonly level_db: number;
  /** Milliseconds; positive is later. */
  readonly delay_ms: number;
  /** −1 inverts it. */
  readonly polarity: 1 | -1;
}

export interface Entered {
  /** Of the mains, fills with them. */
  readonly mains: GroupChange;
  /** Of all subs alike. */
  readonly subs: GroupChange;
}

export const unchangedGroup: GroupChange = { level_db: 0, delay_ms: 0, polarity: 1 };

/** What a show file says was entered. */
export function enteredOf({ mains, subs }: EnteredInFile): Entered {
  const group = (given: EnteredInFile["subs"]): GroupChange => ({
    level_db: given?.level ?? 0,
    delay_ms: given?.delay ?? 0,
    polarity: given?.polarity === "inverted" ? -1 : 1,
  });
  return { mains: group(mains), subs: group(subs) };
}

/** What an answer recommends, as it is printed: subs that should come earlier are later mains. */
export function recommended({
  offset,
  setting: { polarity, delay_ms },
}: Pick<ShowAnswer, "offset" | "setting">): Entered {
  const level_db = Math.round(10 * offset.offset_db) / 10 + 0;
  return {
    mains: { ...unchangedGroup, delay_ms: Math.max(0, -delay_ms) },
    subs: { level_db, delay_ms: Math.max(0, delay_ms), polarity },
  };
}
