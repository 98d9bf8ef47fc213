/** One of the house's own microphones has its low cut on. */
import { filterResponse } from "../../../acoustics/filters/response";
import type { Response } from "../../../acoustics/response";
import { levelOffset } from "../../../decision/offset/offset";
import { partOfSurvey } from "../../../survey/part";
import type { Survey } from "../../../survey/survey";
import type { NamedPoint, Venue } from "../../../venue/venue";
import { audienceOf } from "../audience-of";
import { seededNoise, tracesAt } from "../microphones";
import { readChoice, type SetUp } from "../task";
import { lossOver, settled } from "./audience";
import { between, eitherWay, oneOf, withSubs } from "./faults";

export function faultyMicrophoneTask(): SetUp {
  return (venue, random, { microphones: count }) => {
    const positions = venue.positions.filter((p) => p.id !== "mix position");
    while (positions.length > count) positions.splice(positions.indexOf(oneOf(random, positions)), 1);
    const names = positions.map((p) => p.id);
    const drawing = { ...settled(venue), positions };
    const truth = withSubs(drawing, { gain: eitherWay(random, 1, 4) });
    const corner = between(random, 85, 110);
    const seed = Math.floor(random() * 1e6);
    const { sound, candidates } = mattering(truth, positions, corner, seed);
    const faulty = oneOf(random, candidates);
    const microphone = (position: NamedPoint, heard: Survey) =>
      position.id === faulty ? cutAt(heard, position.id, corner) : heard;
    /** The level that the microphones ask for once one of them was replaced by a sound one. */
    const decided = (replaced: string): number => {
      const measured = replaced === faulty ? sound : cutAt(sound, faulty, corner);
      return levelOffset(measured).offset_db;
    };
    return {
      question: `The house has ${count} microphones at ${names.join(", ")}; measure() reads them. One has its low cut on. Which one is to be replaced? Then the level of the subs will be decided with all of them. Answer the name of its position.`,
      drawing,
      truth,
      positions,
      microphone,
      choices: names,
      read: (answer) => readChoice(answer, names),
      loss: "the audience's deviation from the target balance (RMS)",
      why: "A low cut takes away more the lower the frequency, from mains and subs alike; a room's dip has another side where the level comes back. Compare each trace with the model at its position: draw.comparison().",
      judge: (audience) => {
        const cost = lossOver(audience);
        const loss = new Map(
          [true, false].map((right) => [right, cost(decided(right ? faulty : ""))] as const),
        );
        const levels = names.map((_, i) => meanLevel(partOfSurvey(sound, [i])));
        const loudest = names[levels.indexOf(Math.max(...levels))];
        return {
          cost: (answer) => loss.get(answer === faulty) as number,
          best: faulty,
          misconception: (answer) => (answer === loudest ? "loudest one is lying" : "all are lying a little"),
        };
      },
    };
  };
}

/** A fault costs the audience so much more than none, dB. Elsewhere it does no harm, and is no exercise. */
const HARM = 0.3;

/**
 * What the microphones hear when all are sound, and at most three places whose fault would cost the audience most.
 *
 * By chance of the reverberation a fault may mend what the sound ones get wrong: then they are drawn again.
 */
function mattering(
  truth: Venue,
  positions: readonly NamedPoint[],
  corner: number,
  seed: number,
): { readonly sound: Survey; readonly candidates: readonly string[] } {
  const cost = lossOver(audienceOf(truth, 60));
  const draws = Array.from({ length: 6 }, (_, i) => () => {
    const sound = tracesAt(truth, positions, seededNoise(seed + 7907 * i));
    const least = cost(levelOffset(sound).offset_db);
    const harm = positions.map(({ id }) => cost(levelOffset(cutAt(sound, id, corner)).offset_db) - least);
    const order = [...positions.keys()].sort((a, b) => harm[b] - harm[a]).slice(0, 3);
    const worse = order.filter((k) => harm[k] >= HARM);
    return {
      sound,
      candidates: (worse.length > 0 ? worse : order.slice(0, 1)).map((k) => positions[k].id),
      most: harm[order[0]],
    };
  });
  let best = draws[0]();
  for (let i = 1; i < draws.length && best.most < HARM; i++) {
    const next = draws[i]();
    if (next.most > best.most) best = next;
  }
  return best;
}

/** What a microphone with a low cut of second order hears, at one place of a survey. */
function cutAt(survey: Survey, id: string, frequency: number): Survey {
  const cut = filterResponse(
    [{ kind: "butterworth", type: "highpass", order: 2, frequency }],
    survey.frequency,
  );
  const through = (responses: readonly Response[]) =>
    responses.map((r, i) =>
      survey.positions[i].id === id
        ? {
            ...r,
            re: r.re.map((x, k) => x * cut.re[k] - r.im[k] * cut.im[k]),
            im: r.re.map((x, k) => x * cut.im[k] + r.im[k] * cut.re[k]),
          }
        : r,
    );
  return {
    ...survey,
    mains: through(survey.mains),
    subs: through(survey.subs),
    ...(survey.fills ? { fills: through(survey.fills) } : {}),
  };
}

const meanLevel = ({ mains: [m] }: Survey): number =>
  m.re.reduce((s, x, i) => s + x * x + m.im[i] * m.im[i], 0);
