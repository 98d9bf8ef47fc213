/** What can be had in rooms without looking at any of them: the best of all answers that are the same in each. */
import { scoreOf } from "../../../lib/lesson/exercises/score";
import type { Answer, PlaceAnswer, Setting } from "../../../lib/lesson/exercises/task";
import type { MarkedRoom } from "./rooms";

/** Of the worked way, what an answer earns in a room, 0 to 1. */
export function shareOf({ room, worked }: MarkedRoom, answer: Answer): number {
  return Math.min(1, scoreOf(room.task, room.judgeWith([]), answer) / worked);
}

/** The largest mean share that one answer earns in all rooms. */
export function blindShare(rooms: readonly MarkedRoom[]): number {
  const mean = (answer: Answer) => rooms.reduce((sum, room) => sum + shareOf(room, answer), 0) / rooms.length;
  return Math.max(...constantsOf(rooms).map(mean));
}

/** Answers that somebody might give in every room: what is best in one of them, and others spread over what is usual. */
export function constantsOf(rooms: readonly MarkedRoom[]): readonly Answer[] {
  const { choices } = rooms[0].room.task;
  const bests = rooms.map(({ room }) => room.judgeWith([]).best);
  if (choices) return choices;
  const [first] = bests;
  if (typeof first === "number") return [...bests, ...range(-10, 10, 2)];
  if (typeof first === "object" && "place" in first) {
    const names = [..."ABCDEF"].map((letter) => `place ${letter}`);
    const corrections = [...(bests as PlaceAnswer[]).map((each) => each.correction), ...range(-12, 12, 1)];
    return names.flatMap((place) =>
      names
        .filter((last) => last !== place)
        .flatMap((last) => corrections.map((correction): PlaceAnswer => ({ place, last, correction }))),
    );
  }
  const spread = range(-6, 6, 3).flatMap((offset) =>
    range(-3, 3, 3).flatMap((delay) =>
      (["normal", "inverted"] as const).map((polarity): Setting => ({ offset, delay, polarity })),
    ),
  );
  return [...bests, ...spread];
}

const range = (low: number, high: number, step: number): number[] =>
  Array.from({ length: Math.round((high - low) / step) + 1 }, (_, i) => low + i * step);
