/** How loud the subs should be, for the many or so that nobody is left behind. */
import type { Criterion } from "../../../decision/offset/criterion";
import { levelOffset } from "../../../decision/offset/offset";
import { readNumber, type SetUp } from "../task";
import { lossOver, mixPosition, NEAR_TARGET, servedOver, settled, wantedAt } from "./audience";
import { eitherWay, withSubs } from "./faults";
import { nearestMistake, type Tempting } from "./tempting";

/**
 * @param options  `criterion`; `left`, smallest and largest error in the subs' level, dB
 */
export function offsetTask(
  options: { readonly criterion?: Criterion; readonly left?: readonly [number, number] } = {},
): SetUp {
  const { criterion = "least mean square", left = [4, 9] } = options;
  const worst = criterion === "least worst";
  return (venue, random) => {
    const drawing = settled(venue, criterion);
    const truth = withSubs(drawing, { gain: eitherWay(random, left[0], left[1]) });
    let wanted: number | undefined;
    const atMixPosition = (frequency: Float64Array) => {
      wanted ??= wantedAt(truth, mixPosition(truth), frequency);
      return wanted;
    };
    return {
      question: worst
        ? "The drawing shows the level of the subs as the house knows it to be right; somebody has changed it. By how many dB should the subs be raised (lowered: negative), so that the worst seat is as little off as possible? The target is 6 dB more from 31.5 to 80 Hz than from 500 to 2000 Hz. Answer one number, in dB."
        : "The drawing shows the level of the subs as the house knows it to be right; somebody has changed it. By how many dB should the subs be raised (lowered: negative) for the audience as a whole? The target is 6 dB more from 31.5 to 80 Hz than from 500 to 2000 Hz. Answer one number, in dB.",
      drawing,
      truth,
      read: (answer) => readNumber(answer, "the change of the subs' level in dB", -30, 30),
      loss: worst
        ? "the deviation of the worst seat"
        : "the audience's deviation from the target balance (RMS)",
      served: NEAR_TARGET,
      unit: "dB",
      measuredToo: worst,
      decided: (heard) => levelOffset(heard, { criterion }).offset_db,
      span: worst ? 6 : 3,
      why: worst
        ? "The least worst level lies halfway between the seat with the most and the seat with the least bass; how many people sit between doesn't matter. The drawing says which seats these are, decide.balance(predict.survey(one.venue, seats)): there the microphones stand."
        : "The deviation of a seat is its balance minus the target; the best level makes the mean of the squares over all people smallest. Near the best the curve is flat: half a decibel is nothing to argue about.",
      judge: (audience) => {
        const cost = lossOver(audience, {}, criterion);
        const result = levelOffset(audience, { criterion });
        return {
          cost: (answer) => cost(answer as number),
          best: result.offset_db,
          people: (answer) => servedOver(audience)(answer as number),
          misconception: (answer) =>
            nearestMistake(
              answer as number,
              temptingLevels(atMixPosition(audience.frequency), result, criterion),
              2,
              "too few positions",
            ),
        };
      },
    };
  };
}

function temptingLevels(
  atMixPosition: number,
  result: ReturnType<typeof levelOffset>,
  criterion: Criterion,
): Tempting[] {
  const asked = (who: string) => result.preferred.filter((a) => a.who === who).map((a) => a.offset_db);
  const mean = result.choices.filter((c) => c.criterion === "least mean square");
  return [
    ...asked("front row").map((x): Tempting => ["front row decides", x]),
    ...asked("back row").map((x): Tempting => ["back row decides", x]),
    ["mix position decides", atMixPosition],
    ["wrong sign", -result.offset_db],
    ["left as it was", 0],
    ...(criterion === "least worst" ? mean.map((c): Tempting => ["deviation of the many", c.offset_db]) : []),
  ];
}
