/** A way to decide, tried on several variants: what counts is that it holds in rooms that its author has not seen. */
import { escapeHtml } from "../../text/escape";
import { type ExerciseId, entryOf } from "./catalogue";
import { type Exercise, exerciseOf } from "./exercise";
import type { Misconception } from "./misconceptions";
import { PASS } from "./score";

/** An exercise as a way to decide gets it: to measure and to look, not to try answers or to ask for the solution. */
export type Candidate = Pick<
  Exercise,
  "task" | "venue" | "positions" | "microphonesLeft" | "choices" | "suspects" | "measure"
>;

export interface Tried {
  /** 0 to 100 */
  readonly score: number;
  /** The mistake behind it; null where the answer is good enough, or there was none. */
  readonly misconception: Misconception | null;
  /** Why there was no answer, or none to this question. */
  readonly problem: string | null;
}

/** What a way to decide is worth; `show` shows it. */
export interface Grade {
  /** Of the exercise. */
  readonly id: string;
  /** One for each variant, in their order. */
  readonly tried: readonly Tried[];
  /** Mean of the scores, 0 to 100. */
  readonly score: number;
  /** Whether the mean is enough: 80 or more. */
  readonly passed: boolean;
  /** @throws RangeError when it has not passed, with what to mend */
  required(): void;
  /** A table of the variants, for `show`. */
  readonly html: string;
}

/**
 * Tries a way to decide on several variants of an exercise: what counts is that it holds in rooms that its author has not
 * seen.
 *
 * @param id  of an exercise, as `course.exercises` lists them
 * @param variants  numbers of variants, whole numbers from 0 to 1,000,000
 * @param decide  from an exercise, which it may look at and measure, to an answer; what it throws counts as no answer, a
 *   score of 0
 * @returns score of each variant, 0 to 100, their mean, and whether that is enough: 80 or more
 * @throws RangeError when there is no such exercise or variant, no variant at all, or `decide` is not a function
 * @source own way, no outside source; check: tests/lesson/exercises/grade.test.ts
 * @example
 * const rows = ["row 1", "row 3", "row 6"];
 * const grade = course.grade("cellar-level", [1, 2], (one) => decide.offset(one.measure(rows)).offset_db);
 * grade.tried.length // 2
 */
export function grade(
  id: ExerciseId,
  variants: readonly number[],
  decide: (one: Candidate) => unknown,
): Grade {
  if (typeof decide !== "function")
    throw new RangeError(`the way to decide ${id} is ${typeof decide}, expected a function of the exercise`);
  if (variants.length === 0) throw new RangeError(`there is no variant of ${id} to try`);
  const entry = entryOf(id);
  // A way to decide gets microphones of its own.
  const tried = variants.map((variant) => attempt(exerciseOf(entry, variant), decide));
  const score = tried.reduce((sum, t) => sum + t.score, 0) / tried.length;
  return {
    id,
    tried,
    score,
    passed: score >= PASS,
    required() {
      const first = tried.find((t) => t.score < PASS);
      if (score >= PASS || !first) return;
      const reason = first.problem ?? `${first.misconception}: call check() on it for a hint`;
      throw new RangeError(`${id}: ${Math.round(score)} of 100, and ${PASS} are enough (${reason})`);
    },
    html: `<table><caption>${escapeHtml(id)}: ${Math.round(score)} of 100</caption><tbody>${tried.map(row).join("")}</tbody></table>`,
  };
}

function attempt(one: Exercise, decide: (one: Candidate) => unknown): Tried {
  const candidate: Candidate = {
    task: one.task,
    venue: one.venue,
    positions: one.positions,
    choices: one.choices,
    suspects: one.suspects,
    get microphonesLeft() {
      return one.microphonesLeft;
    },
    measure: (positions) => one.measure(positions),
  };
  try {
    const { score, misconception } = one.check(decide(candidate));
    return { score, misconception, problem: null };
  } catch (error) {
    const problem = error instanceof Error ? error.message : String(error);
    return { score: 0, misconception: null, problem };
  }
}

const row = ({ score, misconception, problem }: Tried, i: number): string =>
  `<tr><td>${i + 1}</td><td>${score}</td><td>${escapeHtml(problem ?? misconception ?? "good enough")}</td></tr>`;
