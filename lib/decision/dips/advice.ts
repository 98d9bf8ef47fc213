/** What could be done about a dip, by its cause, and whether equalisation can help. */

import type { DipGroup } from "./result";
import type { CauseKind } from "./suspects";

export interface DipAdvice {
  /** Whether an equaliser helps. */
  readonly equalisation: "can't help" | "can help a little" | "not before the cause is known";
  /** Why, in a sentence. */
  readonly equalisationReason: string;
  /** What could be done, the most thorough first. */
  readonly remedies: readonly string[];
}

/**
 * Advice for a group of dips.
 *
 * @param kind  the verdict
 * @param group  the dips
 * @param speedOfSound  metres per second
 * @source common practice, no source; distances from the quarter-wave rule
 */
export function adviceFor(kind: CauseKind, group: DipGroup, speedOfSound: number): DipAdvice {
  const quarter = (speedOfSound / (4 * group.frequency_hz)).toFixed(1);
  // A wall at half the distance puts the dip an octave up.
  const half = (speedOfSound / (8 * group.frequency_hz)).toFixed(1);
  const cancelled = (second: string): DipAdvice => ({
    equalisation: "can't help",
    equalisationReason: `${second} whatever is boosted comes back as loud and opposite, and only headroom is spent.`,
    remedies: REMEDIES[kind]?.(quarter, half, group) ?? [],
  });
  switch (kind) {
    case "none of these":
      return {
        equalisation: "not before the cause is known",
        equalisationReason:
          "Equalisation of a cancellation is wasted, and this may be one: find the cause first.",
        remedies: [
          "Listen to each cabinet alone, have polarity and wiring checked by a qualified person with the amplifier off, and measure at more positions.",
          "Look for what the venue's file leaves out: a pit, scenery, a container, a second system.",
        ],
      };
    case "mains against subs":
      return cancelled("Equalisation can't help: mains and subs take each other away here;");
    case "other source":
      return cancelled("Equalisation can't help: the sources cancel each other at these positions;");
    case "room mode":
      return {
        ...cancelled(""),
        equalisationReason:
          "Equalisation can't help: these positions lie in a node of the standing wave, and whatever is boosted comes out where it is loud already.",
      };
    case "cavity":
      return cancelled("Equalisation can't help: the cavity swallows what it is given;");
    default:
      return cancelled("Equalisation can't help: the reflection takes the direct sound away;");
  }
}

/** What a group's behaviour says about where to look, in words. */
export function groupReason(group: DipGroup): string {
  const { part, dips, behaviour, lowest_hz, highest_hz, depth_db, reason } = group;
  const name = part === "sum" ? "mains and subs together" : `the ${part}`;
  const at =
    behaviour === "wanders"
      ? `from ${lowest_hz.toFixed(0)} to ${highest_hz.toFixed(0)} Hz`
      : `at ${group.frequency_hz.toFixed(0)} Hz`;
  const positions = dips.length === 1 ? `at "${dips[0].position}"` : `at ${dips.length} positions`;
  return `A dip of ${depth_db.toFixed(0)} dB in ${name} ${at}, ${positions}. ${reason}`;
}

type Remedies = (quarter: string, half: string, group: DipGroup) => string[];

const REMEDIES: Partial<Readonly<Record<CauseKind, Remedies>>> = {
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
  "room mode": () => [
    "Move the sources to where they drive this mode less, away from the wall or to its node.",
    "These positions lie where the standing wave has its node: others have a peak there, so no setting suits both.",
  ],
};
