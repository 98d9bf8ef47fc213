/** What could be done about a dip, by its cause, and whether equalisation can help. */

import type { CauseKind } from "./elements";
import type { DipGroup } from "./result";
import type { DipVerdict } from "./verdict";

export interface DipAdvice {
  /** Whether an equaliser helps. */
  readonly equalisation: "can't help" | "not before the cause is known";
  /** Why, in a sentence. */
  readonly equalisationReason: string;
  /** What could be done, the most thorough first. */
  readonly remedies: readonly string[];
}

/**
 * Advice for a group of dips.
 *
 * @param verdict  what it comes to
 * @param named  the elements that the verdict is about
 * @param group  the dips
 * @param speedOfSound  metres per second
 * @source common practice, no source; distances from the quarter-wave rule
 */
export function adviceFor(
  verdict: DipVerdict,
  named: readonly { readonly kind: CauseKind; readonly name: string }[],
  group: DipGroup,
  speedOfSound: number,
): DipAdvice {
  const quarter = (speedOfSound / (4 * group.frequency_hz)).toFixed(1);
  // A wall at half the distance puts the dip an octave up.
  const half = (speedOfSound / (8 * group.frequency_hz)).toFixed(1);
  const of = (kind: CauseKind) => REMEDIES[kind](quarter, half, group);
  const kinds = [...new Set(named.map(({ kind }) => kind))];
  switch (verdict) {
    case "one element":
      return {
        ...CANT,
        equalisationReason: `${WHY[kinds[0]] ?? REFLECTED} ${WASTED}`,
        remedies: of(kinds[0]),
      };
    case "several together":
      return {
        ...CANT,
        equalisationReason: `Equalisation can't help: several paths cancel each other here; ${WASTED}`,
        remedies: [
          "Correct the one that is easiest to correct: without any one of them most of the dip goes.",
          ...kinds.map((kind) => of(kind)[0]),
        ],
      };
    case "the room as a whole":
      return {
        ...CANT,
        equalisationReason:
          "Equalisation can't help: other positions have no dip there, and what is boosted comes out where it is loud already.",
        remedies: [
          "No object makes this dip: don't look for one, and don't judge the level by this position.",
          "Other places for the subs move it to other seats: compare layouts. Absorption helps as far as there is much of it, and deep.",
        ],
      };
    case "not in the file":
      return {
        ...UNKNOWN,
        remedies: [
          "Listen to each cabinet alone, have polarity and wiring checked by a qualified person with the amplifier off, and measure at more positions.",
          "Look for what the venue's file leaves out: a pit, scenery, a container, a second system.",
        ],
      };
    default:
      return {
        ...UNKNOWN,
        remedies: ["Measure at more positions, and each stack of subs alone: that tells more than a guess."],
      };
  }
}

const CANT = { equalisation: "can't help" } as const;
const UNKNOWN = {
  equalisation: "not before the cause is known",
  equalisationReason: "Equalisation of a cancellation is wasted, and this may be one: find the cause first.",
} as const;
const WASTED = "whatever is boosted comes back as loud and opposite, and only headroom is spent.";
const REFLECTED = "Equalisation can't help: the reflection takes the direct sound away;";
const WHY: Partial<Readonly<Record<CauseKind, string>>> = {
  "mains against subs": "Equalisation can't help: mains and subs take each other away here;",
  "other source": "Equalisation can't help: the sources cancel each other at these positions;",
  cavity: "Equalisation can't help: the cavity swallows what it is given;",
};

type Remedies = (quarter: string, half: string, group: DipGroup) => string[];

const REMEDIES: Readonly<Record<CauseKind, Remedies>> = {
  "wall behind the subs": (quarter, half) => [
    `Bring the subs nearer to the wall: their acoustic centre, 0.3 to 0.5 m before their fronts, is about a quarter wavelength from it, ${quarter} m; at ${half} m the dip lies an octave higher.`,
    "Or bring them so far forward that the dip falls below what they play, or send less sound to the wall with a cardioid arrangement.",
  ],
  cavity: (quarter) => [
    `Close the opening with heavy panels, or fill the space with absorbing material, either as the venue's fire rules allow: it acts as a pipe of about ${quarter} m.`,
    "Or move the subs away from the opening; in its mouth they feel it most.",
  ],
  floor: () => [
    "Sources on the ground have no such dip; where they must fly, let ground subs carry this band.",
    "Change height or tilt only if seats matter that are few: the dip moves, it does not go.",
  ],
  ceiling: () => [
    "Sources lower or nearer to the ceiling move the dip; absorption overhead must be thick to work this low.",
  ],
  "side wall": () => [
    "Move the sources to or from the side wall: the dip moves to other seats, so choose where it does least.",
    "A narrower pattern to that side, from a delayed line or cardioid subs, sends the wall less.",
  ],
  "rear wall": () => [
    "The rear wall meets the last rows most: drapes do nothing this low, deep absorbers do, and open doors where they are no fire doors.",
    "Judge the level from the middle, where this dip is shallow.",
  ],
  "other surface": () => [
    "Move the sources or the surface; a few tenths of a metre move the dip to other seats.",
  ],
  "other source": (_quarter, _half, { part }) =>
    part === "subs"
      ? [
          "Bring the subs together within a quarter wavelength, as one block in the middle.",
          "Or use a closely spaced or delayed line, so that nobody hears just two of them.",
        ]
      : [
          "Aim the mains so that fewer seats hear two of them alike, or let one of them carry this band there.",
          "These dips lie where the paths from both differ by half a wavelength: a delay moves them to other seats, it does not remove them.",
        ],
  "mains against subs": () => [
    "Choose delay and polarity of the subs for the audience, then look at this dip again.",
    "Where distance turns the phase from seat to seat, a steeper or lower crossover makes the stretch of conflict narrower.",
  ],
};
