/** From what the audience loses to a score. */
import type { Answer, Judge, Task } from "./task";

/** Losses nearer to the best than this are no loss: nobody hears a tenth of a decibel. Common practice, no source. */
const UNHEARD = 0.1;

/** A score from here on counts as right. */
export const PASS = 80;

/**
 * Score of an answer: 100 × (1 − loss over the best / span), between 0 and 100.
 *
 * @param task  what is asked; its span, or the worst of its choices, is where nothing is left
 * @param judge  of the audience at which no microphone stood
 * @param answer  an answer that was read
 */
export function scoreOf(task: Task, judge: Judge, answer: Answer): number {
  const least = judge.cost(judge.best);
  const span = task.choices
    ? Math.max(...task.choices.map((choice) => judge.cost(choice))) - least
    : (judge.span ?? task.span ?? 3);
  const over = Math.max(0, judge.cost(answer) - least - UNHEARD);
  const whole = Math.max(span - UNHEARD, 1e-9);
  return Math.round(100 * Math.max(0, 1 - over / whole));
}

/** The formula, for the student. */
export function scoreInWords(task: Task): string {
  const end = task.choices
    ? "where it is that of the worst choice"
    : (task.nothingLeft ??
      (task.span === undefined
        ? "where it is as bad as a wrong answer can make it"
        : `where it is ${task.span} dB worse than that`));
  return `100 points where ${task.loss} is within ${UNHEARD} dB of the best possible, 0 ${end}, evenly between.`;
}
