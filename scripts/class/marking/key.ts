/** The answer key of an assignment: a way that passes, what it is about, and the best answer of each seat's room. */
import { entryOf } from "../../../lib/lesson/exercises/catalogue";
import { exerciseOf } from "../../../lib/lesson/exercises/exercise";
import type { Assignment, SetExercise } from "./assignments";

/** Seats of a class whose rooms are in the key. */
const SEATS = 30;

/**
 * As Markdown.
 *
 * @param tell  is told now and then how far it is: each seat has a room of its own, which takes a second or two
 */
export function answerKey({ title, exercises }: Assignment, tell: (how: string) => void): string {
  const parts = exercises.map((one) => {
    const [, why, point] = solutionOf(one.id, 1);
    const answers = Array.from({ length: SEATS }, (_, i) => {
      if (i % 10 === 0) tell(`${one.id}, rooms of seats ${i + 1} to ${i + 10} of ${SEATS}`);
      const [best] = solutionOf(one.id, i + 1);
      return `| ${i + 1} | ${best.replace(/^Best: /, "").replaceAll("|", "/")} |`;
    });
    return [
      `## ${one.id} (${one.points} points)`,
      why,
      point,
      "```ts",
      one.solution,
      "```",
      "or the form",
      "```",
      one.form,
      "```",
      "| seat | best answer, without microphones |",
      "| --- | --- |",
      ...answers,
    ].join("\n");
  });
  return `# ${title}: answer key\n\nFor the instructor. Points come from rooms that are drawn anew for each marking; full points are what the way below earns there.\n\n${parts.join("\n\n")}`;
}

/** Its lines: the best answer, why, and what the exercise is about. */
function solutionOf(id: SetExercise["id"], variant: number): string[] {
  return exerciseOf(entryOf(id), variant, true).solution().words.split("\n");
}
