/** Polarity and delay of the subs relative to the mains. */
import { alignment } from "../../../decision/alignment/alignment";
import type { AlignmentChoice } from "../../../decision/alignment/result";
import { partOfSurvey } from "../../../survey/part";
import type { Survey } from "../../../survey/survey";
import type { Venue } from "../../../venue/venue";
import { readPolarity } from "../../reading/polarity";
import { audienceOf } from "../audience-of";
import { readChoice, readNumber, type SetUp } from "../task";
import { eitherWay, withSubs } from "./faults";
import { nearestMistake, type Tempting } from "./tempting";

const polarities = ["normal", "inverted"] as const;

/** Whether the subs have the right polarity; delay is right already. */
export function polarityTask(): SetUp {
  return (venue, random) => {
    const { delay_ms } = alignedDrawing(venue);
    const drawing = withSubs(venue, { delay: delay_ms / 1000 });
    const fault = random() < 0.6;
    const truth = withSubs(drawing, { inverted: fault });
    return {
      question:
        'The delays are set as they should be, and the drawing shows them. Should the polarity of the subs be "normal", as it is now, or "inverted"? Answer one of the two.',
      drawing,
      truth,
      choices: polarities,
      read: (answer) => readPolarity(answer) ?? readChoice(answer, polarities),
      loss: "the level that the sum loses through the crossover",
      served: IN_PHASE,
      why: "Through the crossover the sum is loudest where mains and subs are in phase: compare decide.crossoverSum() both ways at several positions, and choose the polarity that is louder at most of them.",
      judge: (audience) => {
        const loss = sumLoss(audience);
        const cost = (answer: unknown) => loss(0, answer === "inverted" ? -1 : 1);
        const best = cost("inverted") < cost("normal") ? "inverted" : "normal";
        return {
          cost,
          best,
          people: (answer) => inPhase(audience)(0, answer === "inverted" ? -1 : 1),
          misconception: (answer) => (answer === "inverted" ? "polarity by habit" : "left as it was"),
        };
      },
    };
  };
}

/** How much later the subs should be, or the mains. */
export function delayTask(options: { readonly left?: readonly [number, number] } = {}): SetUp {
  const { left = [2.5, 4.5] } = options;
  return (venue, random) => {
    const { delay_ms } = alignedDrawing(venue);
    const drawing = withSubs(venue, { delay: delay_ms / 1000 });
    const fault = eitherWay(random, left[0], left[1]);
    const truth = withSubs(drawing, { delay: fault / 1000 });
    return {
      question:
        "The drawing shows delays as they should be; somebody has changed one since. Polarity is right. By how many milliseconds should the subs be later than they are now? A negative number means that mains and fills are delayed instead. Answer one number, in ms.",
      drawing,
      truth,
      read: (answer) => readNumber(answer, "the change of the subs' delay in ms", -20, 20),
      unit: "ms",
      decided: (heard) => alignment(heard, { polarity: 1 }).choices[0].delay_ms,
      loss: "the level that the sum loses through the crossover",
      served: IN_PHASE,
      why: "The sum is loudest where both are in phase over the whole overlap, not at one frequency. A period more or less agrees at one frequency only; of choices that are about equal take the least delay.",
      judge: (audience) => {
        const loss = sumLoss(audience);
        const found = alignment(audience, { polarity: 1 });
        const best = found.choices[0].delay_ms;
        const period = 1000 / (found.crossover_hz ?? Math.sqrt(found.band_hz[0] * found.band_hz[1]));
        return {
          cost: (answer) => loss((answer as number) / 1000, 1),
          best,
          people: (answer) => inPhase(audience)((answer as number) / 1000, 1),
          span: Math.max(...aroundZero.map((ms) => loss(ms / 1000, 1))) - loss(best / 1000, 1),
          misconception: (answer) =>
            nearestMistake(
              answer as number,
              temptingDelays(audience, best, period, found.band_hz),
              1,
              "distance alone",
            ),
        };
      },
    };
  };
}

/** Delays that somebody might set, ms. */
const aroundZero = Array.from({ length: 25 }, (_, i) => i - 12);

/** What the sum through the crossover loses by a delay (seconds) and a polarity of the subs, mean over the audience. */
export function sumLoss(audience: Survey): (delay: number, polarity: 1 | -1) => number {
  const sum = sumAt(audience);
  return (delay, polarity) => sum(delay, polarity).audienceLoss_db;
}

/** Fraction of the people for whom the sum then loses at most 3 dB. */
export function inPhase(audience: Survey): (delay: number, polarity: 1 | -1) => number {
  const sum = sumAt(audience);
  return (delay, polarity) => sum(delay, polarity).within3dB_fraction;
}

/** Who counts as served by a delay and a polarity. */
const IN_PHASE = "for whom the sum of mains and subs loses at most 3 dB";

function sumAt(audience: Survey): (delay: number, polarity: 1 | -1) => AlignmentChoice {
  const band = alignment(audience, { delays: [0, 0] }).band_hz;
  return (delay, polarity) => alignment(audience, { delays: [delay, delay], polarity, band }).choices[0];
}

function temptingDelays(
  audience: Survey,
  best: number,
  period: number,
  band: readonly [number, number],
): Tempting[] {
  const front = frontSeat(audience);
  return [
    ["left as it was", 0],
    ["wrong sign", -best],
    ["a period off", best + period],
    ["a period off", best - period],
    ["polarity taken for delay", best + period / 2],
    ["polarity taken for delay", best - period / 2],
    ["one seat aligned", alignment(front, { polarity: 1, band }).choices[0].delay_ms],
  ];
}

function frontSeat(audience: Survey): Survey {
  const { positions } = audience;
  const nearest = positions.reduce((b, p, i) => (p.point.x < positions[b].point.x ? i : b), 0);
  return partOfSurvey(audience, [nearest]);
}

/** Delay that the drawing's own subs should have. */
export function alignedDrawing(venue: Venue): { readonly delay_ms: number } {
  const [{ delay_ms }] = alignment(audienceOf(venue, 40), { polarity: 1, delays: [-0.012, 0.012] }).choices;
  return { delay_ms: Math.round(delay_ms * 10) / 10 };
}
