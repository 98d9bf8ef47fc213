/** Level, delay and polarity of the subs at once. */
import { jointOffset } from "../../../decision/joint";
import type { Setting, SetUp } from "../task";
import { lossOver, settled } from "./audience";
import { eitherWay, withSubs } from "./faults";

export function jointTask(): SetUp {
  return (venue, random) => {
    const drawing = settled(venue);
    const truth = withSubs(drawing, {
      gain: eitherWay(random, 3, 7),
      delay: eitherWay(random, 2, 5) / 1000,
      turned: random() < 0.5,
    });
    return {
      question:
        'Nobody knows any more what was set on the subs. Choose all three: `{ offset: dB louder, delay: ms later, polarity: "as it is" or "turned" }`. Wanted are 6 dB more from 31.5 to 80 Hz than from 500 to 2000 Hz, for the audience as a whole.',
      drawing,
      truth,
      read: readSetting,
      loss: "the audience's deviation from the wanted balance (rms)",
      span: 3,
      why: "A delay changes how far subs and mains help each other in the low band, and with that the level that is needed. So the three are one decision: jointOffset() searches them together.",
      judge: (audience) => {
        const found = jointOffset(audience);
        const best: Setting = {
          offset: found.offset.offset_db,
          delay: found.delay_ms,
          polarity: found.polarity === 1 ? "as it is" : "turned",
        };
        const cost = ({ offset, delay, polarity }: Setting) =>
          lossOver(audience, { delay: delay / 1000, polarity: polarity === "turned" ? -1 : 1 })(offset);
        return {
          cost: (answer) => cost(answer as Setting),
          best,
          misconception: (answer) => {
            const given = answer as Setting;
            if (given.offset === 0 && given.delay === 0 && given.polarity === "as it is")
              return "left as it was";
            const least = cost(best);
            const mended = (part: Partial<Setting>) => cost({ ...given, ...part }) < least + 0.7;
            if (mended({ polarity: given.polarity === "turned" ? "as it is" : "turned" }))
              return "polarity by habit";
            if (mended({ offset: -given.offset })) return "sign turned over";
            if (mended({ delay: -given.delay })) return "sign turned over";
            return "too few places";
          },
        };
      },
    };
  };
}

function readSetting(answer: unknown): Setting {
  const { offset, delay, polarity } = (answer ?? {}) as Partial<Setting>;
  const number = (x: unknown): x is number => typeof x === "number" && Math.abs(x) <= 30;
  if (!number(offset) || !number(delay) || (polarity !== "as it is" && polarity !== "turned")) {
    throw new RangeError(
      `the answer is ${JSON.stringify(answer)}, expected { offset: dB, delay: ms, polarity: "as it is" or "turned" } with numbers from -30 to 30`,
    );
  }
  return { offset, delay, polarity };
}
