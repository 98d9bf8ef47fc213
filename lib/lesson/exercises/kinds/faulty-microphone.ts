/** One of the house's own microphones has its low cut on. */
import { filterResponse } from "../../../acoustics/filters/response";
import type { Response } from "../../../acoustics/response";
import { levelOffset } from "../../../decision/offset/offset";
import { partOfSurvey } from "../../../survey/part";
import type { Survey } from "../../../survey/survey";
import type { NamedPoint } from "../../../venue/venue";
import { seededNoise, tracesAt } from "../microphones";
import { readChoice, type SetUp } from "../task";
import { settled } from "./audience";
import { between, eitherWay, oneOf, withSubs } from "./faults";

export function faultyMicrophoneTask(): SetUp {
  return (venue, random, { microphones: count }) => {
    const positions = venue.positions.filter((p) => p.id !== "mix position");
    while (positions.length > count) positions.splice(positions.indexOf(oneOf(random, positions)), 1);
    const names = positions.map((p) => p.id);
    const drawing = { ...settled(venue), positions };
    const truth = withSubs(drawing, { gain: eitherWay(random, 1, 4) });
    const corner = between(random, 85, 110);
    const sound = tracesAt(truth, positions, seededNoise(Math.floor(random() * 1e6)));
    const right = levelOffset(sound).offset_db;
    /** How far the level is off, dB, while one microphone has its low cut on. */
    const harm = names.map((id) => Math.abs(levelOffset(cutAt(sound, id, corner)).offset_db - right));
    const order = [...names.keys()].sort((a, b) => harm[b] - harm[a]);
    const at = oneOf(random, order.slice(0, MOST_HARMFUL));
    const faulty = names[at];
    const microphone = (position: NamedPoint, heard: Survey) =>
      position.id === faulty ? cutAt(heard, position.id, corner) : heard;
    return {
      question: `The house has ${count} microphones at ${names.join(", ")}; measure() reads them. One has its low cut on. Which one is to be replaced? Then the level of the subs will be decided with all of them. Answer the name of its position.`,
      drawing,
      truth,
      positions,
      microphone,
      choices: names,
      read: (answer) => readChoice(answer, names),
      loss: "the error of the subs' level",
      counted: "It is the difference from the level that sound microphones ask for.",
      why: "A low cut takes away more the lower the frequency, from mains and subs alike; a room's dip has another side where the level comes back. Compare each trace with the model at its position: draw.comparison().",
      judge: () => {
        const levels = names.map((_, i) => meanLevel(partOfSurvey(sound, [i])));
        const loudest = names[levels.indexOf(Math.max(...levels))];
        return {
          cost: (answer) => (answer === faulty ? 0 : harm[at]),
          best: faulty,
          misconception: (answer) => (answer === loudest ? "loudest one is lying" : "all are lying a little"),
        };
      },
    };
  };
}

/** One of so many places where a low cut does the most harm has it; elsewhere it would be no exercise. */
const MOST_HARMFUL = 3;

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
