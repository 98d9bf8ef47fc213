/**
 * Exercises: an invented situation that differs from neighbour to neighbour, a few microphones, and a decision that is scored by
 * what the audience gets at seats where nobody measured.
 */

import { distance } from "../../acoustics/point";
import { latest } from "../../field/latest";
import { uniform } from "../../numeric/random";
import { partOfSurvey } from "../../survey/part";
import type { Survey } from "../../survey/survey";
import { capital } from "../../text/capital";
import type { NamedPoint, Venue } from "../../venue/venue";
import type { Row } from "../output/rows";
import { audienceOf } from "./audience-of";
import { catalogue, type ExerciseId, entryOf } from "./catalogue";
import { hash } from "./hash";
import { paragraphs } from "./html";
import { type Noise, positionsOf, seededNoise, tracesAt } from "./microphones";
import { hintFor, type Misconception } from "./misconceptions";
import { PASS, scoreInWords, scoreOf } from "./score";
import type { Answer, Entry, Judge, PositionChoice, Task } from "./task";
import { withFault } from "./truth/microphone-faults";
import type { Suspect } from "./truth/suspects";
import { requireVariant } from "./variant";
import { variedVenue } from "./varied-venue";

export type { Answer, PositionChoice as Spot, Setting } from "./task";

/** One variant of an exercise, as a student has it. `show` shows what is asked. */
export interface Exercise {
  /** Which one, such as "theatre-level". */
  readonly id: string;
  /** Which of its variants. */
  readonly variant: number;
  /** 1 one decision, 2 a decision with a trap, 3 several decisions at once. */
  readonly level: 1 | 2 | 3;
  /** The situation, what is to be decided, and how it is scored, in words. */
  readonly task: string;
  /** The drawing. What somebody left wrong is not in it. */
  readonly venue: Venue;
  /** Positions with a name. */
  readonly positions: readonly NamedPoint[];
  /** Microphones left to set up. */
  readonly microphonesLeft: number;
  /** Answers to choose from; none where the answer is a number or more. */
  readonly choices: readonly Answer[];
  /** What may be otherwise than drawn, each with the venue as it is then; one of it is. None where all is as drawn. */
  readonly suspects: readonly Suspect[];
  /**
   * Sets up microphones and measures mains and subs there.
   *
   * @param positions  names from `positions`, or metres in plan such as `{ x: 8, y: 2 }`; one that was measured before is free
   * @throws RangeError when there are not so many microphones, or nobody listens there
   */
  measure(positions: readonly PositionChoice[]): Survey;
  /**
   * Scores an answer.
   *
   * @throws RangeError when it is not an answer to this question; such an attempt does not count
   */
  check(answer: unknown): Mark;
  /**
   * The worked solution, after a real attempt: an answer that was checked, once a microphone stood where there are any.
   *
   * @throws RangeError before one
   */
  solution(): Solution;
  /** The task, for `show`. */
  readonly html: string;
}

/** What an answer is worth. */
export interface Mark {
  /** 0 to 100 */
  readonly score: number;
  /** Whether it is enough: 80 or more. */
  readonly passed: boolean;
  /** What the audience loses by this answer, dB. */
  readonly loss_db: number;
  /** What it loses by the best one, dB. */
  readonly best_db: number;
  /** The mistake behind it; null where the answer is good enough. */
  readonly misconception: Misconception | null;
  /** What to think of next; null where the answer is good enough. */
  readonly hint: string | null;
  /** All of it in sentences. */
  readonly words: string;
  /** The same, for `show`. */
  readonly html: string;
}

/** A worked solution. */
export interface Solution {
  /** One that `check` gives full marks. */
  readonly answer: Answer;
  /** The answer and the reasons, in sentences. */
  readonly words: string;
  /** The same, for `show`. */
  readonly html: string;
}

/**
 * An exercise: a venue where something is left to decide about the subs, a few microphones, and a check that scores the
 * answer by what the audience gets at seats where nobody measured.
 *
 * @param id  one of those that `course.exercises` lists, such as "theatre-level"
 * @param variant  any whole number from 0 to 1,000,000, such as that of your seat: neighbours get other numbers, not
 *   another lesson. Default 1
 * @returns what is asked, microphones to set up, and a check; `show` shows the task
 * @throws RangeError when there is no such exercise, or the variant is not such a number
 * @source own way, no outside source; check: tests/lesson/exercises/exercises.test.ts
 * @example
 * const cellar = course.exercise("cellar-level", 7); // three microphones
 * const heard = cellar.measure(["row 1", "row 3", "row 6"]);
 * show(cellar.check(decide.offset(heard).offset_db));
 * cellar.microphonesLeft // 0
 */
export function exercise(id: ExerciseId, variant = 1): Exercise {
  const entry = entryOf(id);
  requireVariant(variant);
  const key = `${id} ${variant}`;
  const one = begun.get(key) ?? exerciseOf(entry, variant);
  begun.set(key, one);
  return one;
}

/** Exercises that were begun in this kernel: whoever makes one anew finds its microphones and attempts as they left them. */
const begun = new Map<string, Exercise>();

/**
 * The exercises there are.
 *
 * @returns one row for each: its id, level (1 one decision, 2 a decision with a trap, 3 several at once), venue,
 *   microphones and situation
 * @source own way, no outside source; check: tests/lesson/exercises/exercises.test.ts
 * @example
 * show(tables.of(course.exercises().filter((row) => row.level === 1)));
 */
export function exerciseRows(): Row[] {
  return catalogue.map(({ id, level, venue, microphones, situation }) => ({
    exercise: id,
    level,
    venue,
    microphones,
    situation,
  }));
}

/**
 * An exercise from its entry.
 *
 * @param tried  the solution is given at once, as whoever teaches needs it
 */
export function exerciseOf(entry: Entry, variant: number, tried = false): Exercise {
  requireVariant(variant);
  const seed = hash(`${entry.id} ${variant}`);
  const room =
    entry.rooms === undefined ? undefined : uniform(hash(`${entry.id} room ${variant % entry.rooms}`));
  return exerciseIn(roomOf(entry, variant, uniform(seed), seededNoise(seed), room), tried);
}

/** What is the same for everyone who is given one variant. */
export interface Room {
  readonly entry: Entry;
  readonly variant: number;
  readonly task: Task;
  /** What microphones there hear. */
  heardAt(positions: readonly NamedPoint[]): Survey;
  /** Who judges an answer once microphones stood there: by the seats far from them. */
  judgeWith(positions: readonly NamedPoint[]): Judge;
}

/**
 * @param variant  how it is called
 * @param random  numbers from 0 to 1, 1 excluded, which make it what it is
 * @param noise  of the microphones
 * @param building  numbers likewise, of its measures alone
 */
export function roomOf(
  entry: Entry,
  variant: number,
  random: () => number,
  noise: Noise,
  building = random,
): Room {
  const task = entry.setUp(variedVenue(`venues/${entry.venue}`, building), random, entry);
  let audience: Survey | undefined;
  const heard = latest<Survey>(MOST_HEARD);
  const judges = latest<Judge>(MOST_JUDGES);
  let ofAll: Judge | undefined;
  const everybody = () => {
    audience ??= audienceOf(task.truth);
    return audience;
  };
  return {
    entry,
    variant,
    task,
    heardAt: (positions) => heard(JSON.stringify(positions), () => tracesAt(task.truth, positions, noise)),
    judgeWith(positions) {
      const { judge } = task;
      if (typeof judge !== "function") return judge;
      if (positions.length > 0 && !task.measuredToo)
        return judges(JSON.stringify(positions), () => judge(farFrom(positions, everybody())));
      ofAll ??= judge(everybody());
      return ofAll;
    },
  };
}

/** Ways to place the microphones that a room keeps: a class places them much alike. */
const MOST_HEARD = 16;
/** Judges by other seats that it keeps: each holds what an audience hears. */
const MOST_JUDGES = 2;

/** An exercise in a room, with its microphones still in their case. */
export function exerciseIn({ entry, variant, task, heardAt, judgeWith }: Room, tried = false): Exercise {
  const named = task.positions ?? task.drawing.positions;
  const placed = new Map<string, NamedPoint>();
  let attempts = tried ? 1 : 0;
  /** Each mistake has its own first and second hint: three answers that make three of them get three first hints. */
  const made = new Map<Misconception, number>();
  const words = [
    entry.situation,
    task.question,
    mayDo(entry, task),
    [scoreInWords(task), ...countedAt(entry, task), `${PASS} are enough.`].join(" "),
  ];
  const judged = (): Judge => judgeWith([...placed.values()]);
  const { fault } = task;
  const faulty = (survey: Survey, keys: readonly string[]): Survey => {
    if (!fault) return survey;
    const order = [...placed.keys()];
    const at = (channel: number) => {
      const position = placed.get(order[channel] ?? "");
      const { mains, subs, fills } = position ? heardAt([position]) : survey;
      return position && { mains: mains[0], subs: subs[0], fills: fills?.[0] };
    };
    return withFault(
      survey,
      keys.map((key) => order.indexOf(key)),
      fault,
      entry.microphones,
      at,
    );
  };
  /** Who has not measured has no places that could be too few. */
  const misled = (judge: Judge, answer: Answer): Misconception => {
    const found = judge.misconception(answer);
    // Who did what the microphones said has made no mistake but to place them so.
    if (typeof answer === "number" && task.decided && placed.size > 0) {
      const said = task.decided(heardAt([...placed.values()]));
      const atMix = [...placed.values()].every(({ id }) => id === "mix position");
      if (Math.abs(said - answer) < 0.3) return atMix ? "mix position decides" : "too few positions";
    }
    const guessed =
      (found === "too few positions" || found === "microphone believed") &&
      placed.size === 0 &&
      entry.microphones > 0;
    return guessed && !Array.isArray(answer) ? "not measured" : found;
  };
  return {
    id: entry.id,
    variant,
    level: entry.level,
    task: words.join("\n"),
    venue: task.drawing,
    positions: named,
    choices: task.choices ?? [],
    suspects: task.suspects ?? [],
    get microphonesLeft() {
      return entry.microphones - placed.size;
    },
    measure(chosen) {
      const positions = positionsOf(chosen, task.drawing, named);
      const added = new Map(positions);
      for (const key of placed.keys()) added.delete(key);
      if (placed.size + added.size > entry.microphones) {
        throw new RangeError(
          `this exercise has ${entry.microphones} microphones, ${placed.size} stand already and you want ${added.size} more: decide with those, or take another variant to start over`,
        );
      }
      for (const [key, position] of added) placed.set(key, position);
      const distinct = [...positions.values()];
      const survey = faulty(heardAt(distinct), [...positions.keys()]);
      return task.microphone ? distinct.reduce((s, p) => task.microphone?.(p, s) ?? s, survey) : survey;
    },
    check(given) {
      const answer = task.read(given);
      const judge = judged();
      const score = scoreOf(task, judge, answer);
      const passed = score >= PASS;
      if (placed.size > 0 || entry.microphones === 0 || Array.isArray(answer)) attempts++;
      const misconception = passed ? null : misled(judge, answer);
      if (misconception) made.set(misconception, (made.get(misconception) ?? 0) + 1);
      const hint = misconception ? hintFor(misconception, made.get(misconception) ?? 1) : null;
      const loss_db = judge.cost(answer);
      const best_db = judge.cost(judge.best);
      const found = `${score} of 100. With your answer ${task.loss} is ${decibels(loss_db)}; ${decibels(best_db)} was possible.`;
      const lines = [
        [found, ...countedAt(entry, task)].join(" "),
        ...(misconception ? [`${capital(misconception)}. ${hint}`] : [entry.point]),
      ];
      return {
        score,
        passed,
        loss_db,
        best_db,
        misconception,
        hint,
        words: lines.join("\n"),
        html: paragraphs(passed ? "Good enough for the audience" : "Not yet", lines),
      };
    },
    solution() {
      if (attempts === 0)
        throw new RangeError(
          entry.microphones > 0
            ? "you have not tried yet: measure, then give check() an answer"
            : "you have not tried yet: give check() an answer first",
        );
      return worked();
    },
    html: paragraphs(`${entry.id}, variant ${variant} (level ${entry.level})`, words),
  };

  function worked(): Solution {
    const judge = judged();
    const answer = judge.example?.() ?? judge.best;
    const others = (task.choices ?? []).map((c) => `${answerInWords(c)} ${decibels(judge.cost(c))}`);
    const lines = [
      `Best: ${judge.bestInWords ?? answerInWords(answer, task.unit)}. Then ${task.loss} is ${decibels(judge.cost(answer))}.`,
      ...(judge.bestInWords ? [`Such as ${answerInWords(answer)}.`] : []),
      ...(others.length > 0 ? [`Each choice: ${others.join(", ")}.`] : []),
      task.why,
      entry.point,
    ];
    return { answer, words: lines.join("\n"), html: paragraphs("Worked solution", lines) };
  }
}

/** An answer as one would say it. */
export function answerInWords(answer: Answer, unit?: string): string {
  if (typeof answer === "number")
    return `${withMinus(answer.toFixed(unit === "cabinets" ? 0 : 1))}${unit ? ` ${unit}` : ""}`;
  if (typeof answer === "string") return answer;
  if (Array.isArray(answer))
    return answer.map((s) => (typeof s === "string" ? s : `x ${s.x}, y ${s.y}`)).join("; ");
  if ("place" in answer)
    return withMinus(`${answer.place}; last ${answer.last}, correction ${answer.correction.toFixed(1)} dB`);
  const { offset, delay, polarity } = answer as { offset: number; delay: number; polarity: string };
  return withMinus(`offset ${offset.toFixed(1)} dB, delay ${delay.toFixed(1)} ms, polarity ${polarity}`);
}

const decibels = (x: number): string => withMinus(`${x.toFixed(1)} dB`);
const withMinus = (words: string): string => words.replace(/(^| )-(?=\d)/g, "$1−");

function countedAt({ microphones }: Entry, { counted, judge, measuredToo }: Task): string[] {
  if (counted) return [counted];
  if (typeof judge !== "function") return [];
  return [
    microphones > 0 && !measuredToo ? "Counted at seats where you did not measure." : "Counted at all seats.",
  ];
}

function mayDo({ microphones }: Entry, { choices, judge }: Task): string {
  if (typeof judge !== "function") return "There is nothing to measure: decide by calculation.";
  const may =
    microphones > 0
      ? `You may place ${microphones} microphone${microphones > 1 ? "s" : ""} with measure().`
      : "There is no time to measure: decide from the drawing and the model.";
  return choices ? `${may} Choices: ${choices.map((c) => answerInWords(c)).join(", ")}.` : may;
}

/** A seat nearer to a microphone than this has been measured, metres. */
const NEAR = 1;

function farFrom(microphones: readonly NamedPoint[], survey: Survey): Survey {
  const kept = survey.positions.flatMap((p, i) =>
    microphones.some((m) => distance(m.point, p.point) < NEAR) ? [] : [i],
  );
  return partOfSurvey(survey, kept);
}
