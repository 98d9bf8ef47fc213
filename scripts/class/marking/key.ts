/** The answer key of an assignment: a way that passes, what it is about, and the best answer of each room. */
import { exercise } from "../../../lib/lesson/exercises/exercise";
import type { Assignment, SetExercise } from "./assignments";
import type { Secret } from "./secret";

/** Seats of a class whose rooms are in the key. */
const SEATS = 30;

/** As Markdown. */
export function answerKey({ title, exercises }: Assignment, secret: Secret): string {
  const parts = exercises.map((one) => {
    const rooms = [...Array.from({ length: SEATS }, (_, i) => i + 1), ...secret.variants[one.id]];
    const [, why, point] = solutionOf(one.id, 1);
    const answers = rooms.map((variant) => {
      const [best] = solutionOf(one.id, variant);
      return `| ${variant}${secret.variants[one.id].includes(variant) ? " (hidden)" : ""} | ${best.replace(/^Best: /, "").replaceAll("|", "/")} |`;
    });
    return [
      `## ${one.id} (${one.points} points)`,
      why,
      point,
      "```ts",
      one.solution,
      "```",
      "| room | best answer, without microphones |",
      "| --- | --- |",
      ...answers,
    ].join("\n");
  });
  return `# ${title}: answer key\n\nFor the instructor. Points are the mean score of the hidden rooms; answers near the best earn nearly as much.\n\n${parts.join("\n\n")}`;
}

/** Its lines: the best answer, why, and what the exercise is about. */
function solutionOf(id: SetExercise["id"], variant: number): string[] {
  const one = exercise(id, variant);
  try {
    one.solution();
  } catch {
    // asked once; the second time it answers
  }
  return one.solution().words.split("\n");
}
