/** Where to put the few microphones there are. */
import { levelOffset } from "../../../decision/offset/offset";
import { uniform } from "../../../numeric/random";
import type { Survey } from "../../../survey/survey";
import { quoted } from "../../../text/quoted";
import type { Venue } from "../../../venue/venue";
import { hash } from "../hash";
import { positionOf, seededNoise, tracesAt } from "../microphones";
import type { PositionChoice, SetUp } from "../task";
import { lossOver, NEAR_TARGET, servedOver, settled } from "./audience";
import { eitherWay, oneOf, withSubs } from "./faults";

/** The answer is a list of places; the level that they ask for is what the audience gets. */
export function microphonesTask(): SetUp {
  return (venue, random, { microphones: count }) => {
    const drawing = settled(venue);
    const truth = withSubs(drawing, { gain: eitherWay(random, 2, 6) });
    const noise = seededNoise(Math.floor(random() * 1e6));
    const levels = new Map<string, number>();
    const positionsAt = (chosen: readonly PositionChoice[]) =>
      chosen.map((s) => positionOf(s, drawing, drawing.positions));
    /** What somebody would set who measured there. */
    const decided = (positions: readonly PositionChoice[]): number => {
      const key = JSON.stringify(positions);
      const known = levels.get(key) ?? levelOffset(tracesAt(truth, positionsAt(positions), noise)).offset_db;
      levels.set(key, known);
      return known;
    };
    return {
      question: `You have ${count} microphones and one go. Where do they stand? The subs will be set to what decide.offset() says from just these. Answer a list of ${count} positions: names, or metres in plan such as { x: 8, y: 2 }.`,
      drawing,
      truth,
      read: (answer) => {
        if (!Array.isArray(answer) || answer.length !== count) {
          throw new RangeError(`the answer is ${quoted(answer)}, expected a list of ${count} places`);
        }
        const found = positionsAt(answer as PositionChoice[]);
        if (new Set(found.map(({ point }) => hash(JSON.stringify(point)))).size < count)
          throw new RangeError("two microphones stand at one position, expected a position for each");
        return answer as PositionChoice[];
      },
      loss: "the audience's deviation from the target balance (RMS)",
      served: NEAR_TARGET,
      span: 2,
      why: "Balance changes with distance, fastest near the stage, and across the room where two sources add and cancel. Cover both: front, middle and back, at different distances from the centre line.",
      judge: (audience) => {
        const cost = lossOver(audience);
        const { offset_db } = levelOffset(audience);
        return {
          cost: (answer) =>
            typeof answer === "number" ? cost(answer) : cost(decided(answer as PositionChoice[])),
          best: offset_db,
          people: (answer) =>
            servedOver(audience)(typeof answer === "number" ? answer : decided(answer as PositionChoice[])),
          bestInWords: `any positions that together suggest about ${offset_db.toFixed(1).replace("-", "−")} dB`,
          example: () => spread(audience, drawing, count, (positions) => cost(decided(positions))),
          misconception: (answer) => {
            const points = positionsAt(answer as PositionChoice[]).map((p) => p.point);
            const depths = audience.positions.map((p) => p.point.x);
            const front = Math.min(...depths);
            const depth = Math.max(...depths) - front;
            if (points.every((p) => p.x < front + depth / 2)) return "all in front";
            if (points.every((p) => p.x > front + depth / 2)) return "all at the back";
            const sides = points.map((p) => Math.abs(p.y));
            if (Math.max(...sides) - Math.min(...sides) < 2) return "all in one line";
            return "too few positions";
          },
        };
      },
    };
  };
}

/** The best of some lists of seats, each with one seat from every part of the depth. */
function spread(
  audience: Survey,
  drawing: Venue,
  count: number,
  cost: (positions: readonly PositionChoice[]) => number,
): readonly PositionChoice[] {
  const seats = audience.positions
    .map(({ point }) => ({ x: Math.round(point.x * 2) / 2, y: Math.round(point.y * 2) / 2 }))
    .filter((position) => isSeat(position, drawing))
    .sort((a, b) => a.x - b.x);
  const parts = Array.from({ length: count }, (_, i) =>
    seats.slice(Math.floor((i * seats.length) / count), Math.floor(((i + 1) * seats.length) / count)),
  );
  const random = uniform(hash(drawing.name));
  const lists = Array.from({ length: 24 }, () => parts.map((part) => oneOf(random, part)));
  const costs = lists.map(cost);
  return lists[costs.indexOf(Math.min(...costs))];
}

function isSeat(position: PositionChoice, drawing: Venue): boolean {
  try {
    positionOf(position, drawing, []);
    return true;
  } catch {
    return false;
  }
}
