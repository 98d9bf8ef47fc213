/** Where the mix engineer stands, and what to tell the one who can't choose. */
import type { Point } from "../../../acoustics/point";
import { prepareBalance } from "../../../decision/balance/balance";
import { levelOffset } from "../../../decision/offset/offset";
import { rankReferences } from "../../../decision/reference/rank";
import type { RankedPosition } from "../../../decision/reference/result";
import { modelSurvey } from "../../../field/model-survey";
import { quoted } from "../../../text/quoted";
import { frontOfHousePositions, seats } from "../../../venue/seats";
import type { Venue } from "../../../venue/venue";
import { knownSurvey } from "../known-survey";
import type { Misconception } from "../misconceptions";
import { type PlaceAnswer, readNumber, type SetUp } from "../task";
import { drawTruth, suspectsInWords } from "../truth/truth";
import { lossOver, mixPosition, NEAR_TARGET, servedOver, settled } from "./audience";
import { oneOf } from "./faults";
import { nearestMistake } from "./tempting";

const letters = ["place A", "place B", "place C", "place D", "place E", "place F"] as const;

/** One of six places where the mix engineer may stand, and what is heard there. */
export function mixPositionTask(): SetUp {
  return (venue, random, { microphones }) => {
    const all = [...frontOfHousePositions(venue, { spacing: 1 })];
    const picked = letters.map((id) => {
      const [one] = all.splice(Math.floor(random() * all.length), 1);
      return { id, point: one.point };
    });
    // Positions of one variant are not in the venue itself: its low band would be computed anew for each.
    const drawing = venue;
    const { venue: truth, suspects, fault } = drawTruth(drawing, random, microphones);
    const standing = picked.map((p) => ({ ...p, area: "front of house", people: 0 }));
    // On the frequencies and seats that a student's own prediction has.
    const rankedIn = (there: Venue) =>
      rankReferences(knownSurvey(there, seats(there, { count: 100 })), modelSurvey(there, standing))
        .positions;
    let known: readonly RankedPosition[] | undefined;
    let drawn: readonly RankedPosition[] | undefined;
    const at = (list: readonly RankedPosition[], id: string) => list.find((p) => p.id === id) ?? list[0];
    return {
      question: `${suspectsInWords(suspects)} The subs will be at the level that suits the audience as it is. At which of the six positions does the mix engineer hear what the people hear, at which least? A good position has their balance, changes little with a step, and has no third-octave band of its own. And if it has to be the last of them: how many dB more bass than the people's mean (less: negative) is heard there? Answer all: { place: "place A", last: "place B", correction: dB }.`,
      drawing,
      truth,
      suspects,
      fault,
      positions: [...drawing.positions, ...picked],
      read: readPlaceAnswer,
      loss: "the error of a judgement made at the first, what the last is better than the worst, and the error of the correction, together,",
      served: `${NEAR_TARGET} once the subs are set by ear at the place chosen`,
      counted: "Counted at all seats.",
      span: SPAN,
      why: "Predict each suspect at your microphones, predict.survey(suspect.venue, heard.positions), and hold it against what was heard: the one that fits at most positions is what stands there, and the position that fits none has the microphone with the fault. Then rank the positions in that venue: decide.rankPositions() takes bias, change with a step and spectrum together, and the bias of the last is the correction.",
      judge: (audience) => {
        known ??= rankedIn(truth);
        const positions = known;
        const worst = positions[positions.length - 1];
        return {
          cost: (answer) => {
            const { place, last, correction } = answer as PlaceAnswer;
            const chosen = at(positions, last);
            return (
              at(positions, place).score_db +
              (worst.score_db - chosen.score_db) +
              Math.abs(correction - chosen.bias_db)
            );
          },
          people: (answer) => {
            const { bias_db } = at(positions, (answer as PlaceAnswer).place);
            // Who hears more bass than the audience sets the subs as much lower.
            return servedOver(audience)(levelOffset(audience).offset_db - bias_db);
          },
          best: { place: positions[0].id, last: worst.id, correction: tenths(worst.bias_db) },
          misconception: (answer) => {
            const { place, last, correction } = answer as PlaceAnswer;
            const { bias_db } = at(positions, last);
            drawn ??= rankedIn(drawing);
            if (Math.abs(correction - bias_db) > 0.5) {
              if (Math.abs(correction - at(drawn, last).bias_db) <= 0.5) return "drawing believed";
              if (Math.abs(correction + bias_db) <= 0.5) return "sign of the correction";
              if (Math.abs(correction) <= 0.25) return "mix position made right";
              return "microphone believed";
            }
            if (place === drawn[0].id && place !== positions[0].id) return "drawing believed";
            return mistakenPosition(positions, at(positions, place));
          },
        };
      },
    };
  };
}

/** Loss over the best at which nothing is left, dB. */
const SPAN = 2.5;

const tenths = (x: number): number => Math.round(10 * x) / 10 || 0;

function readPlaceAnswer(answer: unknown): PlaceAnswer {
  const { place, last, correction } = (answer ?? {}) as Partial<PlaceAnswer>;
  const [first, other] = [place, last].map((name) => letters.find((id) => id === name));
  if (!first || !other || typeof correction !== "number" || !(Math.abs(correction) <= 30))
    throw new RangeError(
      `the answer is ${quoted(answer)}, expected { place: "place A", last: "place B", correction: dB } with names of ${letters.map(quoted).join(", ")} and a number from -30 to 30`,
    );
  return { place: first, last: other, correction };
}

/** What may have led to a place. */
export function mistakenPosition(
  positions: readonly RankedPosition[],
  chosen: RankedPosition,
): Misconception {
  const least = (value: (p: RankedPosition) => number) => Math.min(...positions.map(value));
  const fromCentre = (p: RankedPosition) => Math.abs(p.point.y);
  const { bias_db, towardBack_db_per_m: back, towardLeft_db_per_m: left } = chosen;
  // In the middle a pair adds up: who went there for another reason hears less there, and needs another hint.
  if (bias_db > 0 && fromCentre(chosen) === least(fromCentre)) return "centre is best";
  if (chosen.point.x === least((p) => p.point.x)) return "nearest is best";
  if (Math.abs(bias_db) < Math.hypot(back ?? 0, left ?? 0)) return "a step changes it";
  return bias_db > 0 ? "most bass is best" : "quiet corner";
}

/** What the engineer must hear at a given place for the audience to have it right. */
export function correctionTask(): SetUp {
  return (venue, random) => {
    const rig = settled(venue);
    const mix = { ...mixPosition(rig), point: misleadingPosition(rig, random) };
    const drawing = { ...rig, positions: [...rig.positions.filter((p) => p.id !== mix.id), mix] };
    return {
      question:
        'The mix position is where the drawing shows it, and can\'t be moved. The engineer will set the subs by ear there. How many dB more bass than the target must they hear (less: negative), so that the audience as a whole gets it right? Answer one number, in dB; the position is called "mix position".',
      drawing,
      truth: drawing,
      read: (answer) =>
        readNumber(answer, "what is to be heard at the mix position, in dB relative to the target", -20, 20),
      loss: "the audience's deviation from the target balance (RMS)",
      unit: "dB",
      served: NEAR_TARGET,
      nothingLeft: "where the subs end up 2.5 dB off",
      why: "Set the level for the audience, then read the deviation at the mix position: that is the number to write on the console. It is the bias of decide.rankPositions() plus what the audience itself is off by on the mean.",
      judge: (audience) => {
        const position = { ...mix, area: "front of house", people: 0 };
        const here = prepareBalance(modelSurvey(drawing, [position]));
        const heardAt = (offset: number) => here.evaluate(offset).positions[0].deviation_db;
        const offsetFor = offsetBy(heardAt);
        const loss = lossOver(audience);
        const { offset_db } = levelOffset(audience);
        const best = heardAt(offset_db);
        return {
          cost: (answer) => loss(offsetFor(answer as number)),
          best,
          people: (answer) => servedOver(audience)(offsetFor(answer as number)),
          span: Math.min(loss(offset_db + 2.5), loss(offset_db - 2.5)) - loss(offset_db),
          misconception: (answer) =>
            nearestMistake(
              answer as number,
              [
                ["mix position made right", 0],
                ["sign of the correction", -best],
              ],
              1.5,
              "too few positions",
            ),
        };
      },
    };
  };
}

/** A place where the mix engineer may stand that hears more bass than the target, or less, once the audience has it right. */
function misleadingPosition(venue: Venue, random: () => number): Point {
  const { offset_db } = levelOffset(modelSurvey(venue, seats(venue, { count: 60 })));
  const standing = frontOfHousePositions(venue, { spacing: 1.5 });
  const heard = [...prepareBalance(modelSurvey(venue, standing)).evaluate(offset_db).positions];
  heard.sort((a, b) => b.deviation_db - a.deviation_db);
  // Either end as often as the other, so that no one number is right for all.
  const end = random() < 0.5 ? heard.slice(0, 2) : heard.slice(-2);
  return oneOf(random, end).point;
}

/** The level of the subs at which a place hears a deviation; of several the loudest. */
function offsetBy(heardAt: (offset: number) => number): (wanted: number) => number {
  const heard = Array.from({ length: 201 }, (_, i) => {
    const offset = 25 - i / 4;
    return { offset, level: heardAt(offset) };
  });
  return (wanted) => {
    const away = heard.map(({ level }) => Math.abs(level - wanted));
    const least = Math.min(...away);
    return heard[away.findIndex((each) => each < least + 1e-9)].offset;
  };
}
