/** Level, delay and polarity of the subs at once. */
import { alignment } from "../../../decision/alignment/alignment";
import { levelOffset } from "../../../decision/offset/offset";
import type { Survey } from "../../../survey/survey";
import { quoted } from "../../../text/quoted";
import { readPolarity } from "../../reading/polarity";
import type { Judge, Setting, SetUp } from "../task";
import { lossOver, NEAR_TARGET, servedOver, settled } from "./audience";
import { alignedDrawing, sumLoss } from "./crossover";
import { eitherWay, withSubs } from "./faults";

export function jointTask(): SetUp {
  return (venue, random) => {
    const drawing = settled(withSubs(venue, { delay: alignedDrawing(venue).delay_ms / 1000 }));
    const truth = withSubs(drawing, {
      gain: eitherWay(random, 3, 7),
      delay: eitherWay(random, 2, 5) / 1000,
      inverted: random() < 0.5,
    });
    return {
      question:
        'Nobody knows any more what was set on the subs. Choose all three: { offset: dB louder, delay: ms later, polarity: "normal" or "inverted" }, with "normal" for the polarity that they have now. The target for the audience as a whole is 6 dB more from 31.5 to 80 Hz than from 500 to 2000 Hz, and mains and subs that help each other through the crossover.',
      drawing,
      truth,
      read: readSetting,
      loss: "the audience's deviation from the target balance, together with what the sum loses through the crossover (root of the sum of squares),",
      served: NEAR_TARGET,
      span: 3,
      why: "Time first: decide.alignment() says with which delay and polarity the sum loses least. They change how far subs and mains help each other in the low band, and with that the level that is needed, so the level comes after: decide.offset(survey, { delay, polarity }), with the delay in seconds.",
      judge: judgeSetting,
    };
  };
}

/** What a setting gives the audience: its balance, and the sum through the crossover. */
export function judgeSetting(audience: Survey): Judge {
  const sum = sumLoss(audience);
  const cost = ({ offset, delay, polarity }: Setting) => {
    const timing = timingOf(delay, polarity);
    return Math.hypot(lossOver(audience, timing)(offset), sum(timing.delay, timing.polarity));
  };
  const tried = settings(audience).sort((a, b) => cost(a) - cost(b));
  // Of settings that the audience can't tell apart, the one with the least delay.
  const best = tried
    .filter((setting) => cost(setting) < cost(tried[0]) + 0.2)
    .reduce((a, b) => (Math.abs(b.delay) < Math.abs(a.delay) ? b : a));
  return {
    cost: (answer) => cost(answer as Setting),
    best,
    people: (answer) => {
      const { offset, delay, polarity } = answer as Setting;
      return servedOver(audience, timingOf(delay, polarity))(offset);
    },
    misconception: (answer) => {
      const given = answer as Setting;
      if (given.offset === 0 && given.delay === 0 && given.polarity === "normal") return "left as it was";
      const least = cost(best);
      const corrected = (part: Partial<Setting>) => cost({ ...given, ...part }) < least + 0.7;
      if (corrected({ polarity: given.polarity === "inverted" ? "normal" : "inverted" }))
        return "polarity by habit";
      if (corrected({ offset: -given.offset })) return "wrong sign";
      if (corrected({ delay: -given.delay })) return "wrong sign";
      if (given.delay === 0 && cost({ ...best, offset: given.offset }) < cost(given))
        return "level before time";
      return "too few positions";
    },
  };
}

const timingOf = (delay: number, polarity: Setting["polarity"]) =>
  ({ delay: delay / 1000, polarity: polarity === "inverted" ? -1 : 1 }) as const;

/** Timings that come into question, each with its own best level. */
function settings(audience: Survey): Setting[] {
  return alignment(audience).choices.map(({ delay_ms, polarity }) => ({
    offset: levelOffset(audience, { delay: delay_ms / 1000, polarity }).offset_db,
    delay: delay_ms,
    polarity: polarity === 1 ? "normal" : "inverted",
  }));
}

/** A setting within limits, or a sentence that says what was expected. */
export function readSetting(answer: unknown): Setting {
  const { offset, delay, polarity: written } = (answer ?? {}) as Partial<Setting>;
  const polarity = readPolarity(written);
  const number = (x: unknown): x is number => typeof x === "number" && Math.abs(x) <= 30;
  if (!number(offset) || !number(delay) || !polarity) {
    throw new RangeError(
      `the answer is ${quoted(answer)}, expected { offset: dB, delay: ms, polarity: "normal" or "inverted" } with numbers from -30 to 30`,
    );
  }
  return { offset, delay, polarity };
}
