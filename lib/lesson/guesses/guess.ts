/** A prediction of a lesson as a form under its cell; what it covers opens once somebody has guessed. */
import { escapeHtml } from "../../text/escape";
import { quoted } from "../../text/quoted";
import { loader } from "../output/figure-html";
import { pack } from "../output/pack";
import type { Showable } from "../output/showable";
import { type Answered, answers, type Question } from "./question";
import { questions } from "./questions";

/** A prediction's name: the lesson's number and what it is on. */
export type GuessName = keyof typeof questions;

/** A prediction to enter; `show` puts what is given after it behind it. */
export interface Guess extends Showable {
  /** Its form, and below it something that opens with the guess. */
  readonly before: (html: string) => string;
}

/** What the page keeps of a prediction. */
export interface GuessContent {
  readonly name: string;
  readonly question: Question;
  readonly truth: Answered;
}

/**
 * One of the course's predictions, to be entered before what is shown after it opens: `show(course.guess(…), figure)`.
 *
 * The guess stays in the browser, and stands beside what is true as soon as it is made.
 *
 * @param name  of the prediction; the editor completes it
 * @param truth  what the cell has computed: a number in the prediction's unit, one of its choices, or for a curve the number
 *   at each of its points; left out where the course knows the right choice by itself
 * @returns a form, for `show`
 * @throws RangeError when the prediction is not known, or the truth is none of its answers
 * @source own way, no outside source; check: tests/lesson/guesses/guess.test.ts
 * @example
 * const [near, far] = [3, 20]; // metres
 * const figure = draw.lines({ x: [near, far], xTitle: "Distance (m)", curves: { sub: [0, -16.5], hang: [0, -10] } });
 * show(course.guess("01 drift", -6.5), figure);
 */
export function guess(name: GuessName, truth?: Answered): Guess {
  const question: Question | undefined = Object.hasOwn(questions, name) ? questions[name] : undefined;
  if (!question)
    throw new RangeError(
      `there is no prediction ${quoted(String(name))}: each is a lesson's own, such as "01 drift"`,
    );
  const known = truth ?? ("right" in question ? question.right : undefined);
  if (known === undefined || !answers(question, known) || !offered(question, known))
    throw new RangeError(`the prediction "${name}" needs what is true: ${needed(question)}`);
  const content: GuessContent = { name, question, truth: known };
  const before = (html: string) => pieceOf("guess", question.asks, content, html);
  return { html: before(""), before };
}

/**
 * How the predictions of a lesson went: what was said, what is true, how far off.
 *
 * @param lesson  its number
 * @returns a list that follows the guesses in this browser, for `show`
 * @throws RangeError when the lesson has no predictions
 * @source own way, no outside source; check: tests/lesson/guesses/guess.test.ts
 * @example
 * show(course.guesses(1));
 */
export function guesses(lesson: number): Showable {
  const number = String(lesson).padStart(2, "0");
  const own = Object.entries<Question>(questions).filter(([name]) => name.startsWith(`${number} `));
  if (own.length === 0) throw new RangeError(`lesson ${lesson} has no predictions`);
  return { html: pieceOf("guesses", "Your predictions", Object.fromEntries(own), "") };
}

const offered = (question: Question, answer: Answered) =>
  !("choices" in question) || question.choices.includes(answer as string);

const needed = (question: Question) =>
  "choices" in question
    ? question.choices.map(quoted).join(" or ")
    : "points" in question
      ? `${question.points.length} numbers in ${question.unit}`
      : `a number in ${question.unit}`;

/** Without scripts a reader sees the question, and what lies behind it. */
const pieceOf = (kind: "guess" | "guesses", words: string, content: unknown, behind: string): string =>
  [
    `<div class="evenground-guess" data-kind="${kind}">`,
    `<p class="evenground-note"><em>${escapeHtml(words)}: to be seen here once this cell has run.</em></p>`,
    `<div class="evenground-asked"></div>`,
    `<div class="evenground-behind">${behind}</div>`,
    `<script type="application/json">${pack(content)}</script>`,
    `<script>${loader}</script>`,
    "</div>",
  ].join("\n");
