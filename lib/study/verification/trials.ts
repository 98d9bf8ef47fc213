/** What may have gone wrong between a setting and what plays, each as what the groups then did. */
import type { Entered, GroupChange } from "./entered";
import { unchangedGroup } from "./entered";
import { type Change, type Played, playedAs } from "./played";
import type { VerificationCause } from "./result";
import { causeWords } from "./words";

export interface Trial {
  readonly cause: VerificationCause;
  readonly played: Played;
}

/** One with a value to be found; its cause is worded once it is known. */
export interface OpenTrial {
  readonly from: number;
  readonly to: number;
  readonly step: number;
  /** Less than this is nothing that anybody hears. */
  readonly least: number;
  readonly played: (x: number) => Played;
  readonly cause: (x: number) => VerificationCause;
}

const silent: Change = { gain: 0, delay: 0 };

/** Slips that leave nothing to be found: each a setting that somebody would have entered by mistake. */
export function slips(entered: Entered): Trial[] {
  const { mains, subs } = entered;
  const slip = (kind: VerificationCause["kind"], what: Partial<Entered>, part: string): Trial => ({
    played: playedAs({ ...entered, ...what }),
    cause: { kind, message: causeWords[kind](part) },
  });
  const groups = [
    ["subs", subs, mains],
    ["mains", mains, subs],
  ] as const;
  const all = [
    slip("nothing entered", { mains: unchangedGroup, subs: unchangedGroup }, ""),
    ...groups.flatMap(([name, group, other]) => {
      const otherName = name === "subs" ? "mains" : "subs";
      const changed = (change: Partial<GroupChange>) => ({ [name]: { ...group, ...change } });
      const moved = (mine: Partial<GroupChange>, theirs: Partial<GroupChange>) => ({
        [name]: { ...group, ...mine },
        [otherName]: { ...other, ...theirs },
      });
      const { level_db, delay_ms, polarity } = group;
      return [
        slip("polarity", changed({ polarity: polarity === 1 ? -1 : 1 }), name),
        slip("delay not entered", changed({ delay_ms: 0 }), name),
        slip("delay of the other sign", changed({ delay_ms: -delay_ms }), name),
        slip("level not entered", changed({ level_db: 0 }), name),
        slip("level of the other sign", changed({ level_db: -level_db }), name),
        slip(
          "wrong group",
          moved({ delay_ms: 0 }, { delay_ms: other.delay_ms + delay_ms }),
          `delay of the ${name}`,
        ),
        slip(
          "wrong group",
          moved({ level_db: 0 }, { level_db: other.level_db + level_db }),
          `level of the ${name}`,
        ),
        ...(polarity < 0
          ? [
              slip(
                "wrong group",
                moved({ polarity: 1 }, { polarity: other.polarity === 1 ? -1 : 1 }),
                `polarity of the ${name}`,
              ),
            ]
          : []),
      ];
    }),
    slip("wrong group", { mains: subs, subs: mains }, "whole setting"),
  ];
  const asEntered = JSON.stringify(playedAs(entered));
  const seen = new Set([asEntered]);
  // A slip that changes nothing is none, and one that is another by its name is that.
  const differing = all.filter(({ played }) => {
    const key = JSON.stringify(played);
    return !seen.has(key) && seen.add(key);
  });
  const whole = playedAs(entered);
  return [
    ...differing,
    {
      played: { ...whole, subs: silent },
      cause: { kind: "subs not heard", message: causeWords["subs not heard"]("") },
    },
    {
      played: { ...whole, mains: silent },
      cause: { kind: "mains not heard", message: causeWords["mains not heard"]("") },
    },
  ];
}

/** A level or a delay of one group that is another than was entered. */
export function offBy(entered: Entered): OpenTrial[] {
  const whole = playedAs(entered);
  const level = (name: "subs" | "mains"): OpenTrial => ({
    from: -20,
    to: 20,
    step: 0.5,
    least: 0.5,
    played: (x) => ({ ...whole, [name]: { ...whole[name], gain: whole[name].gain * 10 ** (x / 20) } }),
    cause: (x) => {
      const kind = name === "subs" ? "level of the subs" : "level of the mains";
      return { kind, level_db: x, message: causeWords[kind](name, x) };
    },
  });
  const delay = (name: "subs" | "mains"): OpenTrial => ({
    from: -25,
    to: 25,
    step: 0.5,
    least: 0.3,
    played: (x) => ({ ...whole, [name]: { ...whole[name], delay: whole[name].delay + x / 1000 } }),
    cause: (x) => ({ kind: "delay", delay_ms: x, message: causeWords.delay(name, x) }),
  });
  return [level("subs"), level("mains"), delay("subs"), delay("mains")];
}
