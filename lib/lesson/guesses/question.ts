import { mean } from "../../numeric/statistics";

/** What a prediction of a lesson asks for: a number with its unit, one of a few choices, or a curve. */
export type Question = NumberQuestion | ChoiceQuestion | SketchQuestion;

export interface NumberQuestion {
  readonly asks: string;
  readonly unit: string;
  /** A guess no farther off counts as right, in the same unit. */
  readonly near: number;
  /** Where the figure behind it has this number: along its horizontal axis, or upward at this place of it. */
  readonly on?: "x" | { readonly x: number };
}

export interface ChoiceQuestion {
  readonly asks: string;
  readonly choices: readonly string[];
  /** The right one, where no cell computes it. */
  readonly right?: string;
}

/** A curve through a few named points, each to be moved up and down. */
export interface SketchQuestion {
  readonly asks: string;
  readonly unit: string;
  /** A curve no farther off on average counts as right, in the same unit. */
  readonly near: number;
  readonly points: readonly { readonly name: string; readonly x: number }[];
  /** Whether the figure's horizontal axis is logarithmic. */
  readonly log?: boolean;
  /** How far a point may be moved, by which steps, and how far apart the lines behind it are. */
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly tick: number;
}

/** An answer: a curve has a number at each of its points. */
export type Answered = string | number | readonly number[];

/** What was said of a prediction: nothing where the reader asked to be shown without a guess. */
export type Said = Answered | null;

/** Whether this may be an answer to the question; what a page kept may be anything. */
export function answers(question: Question, answer: unknown): answer is Answered {
  if ("points" in question) {
    return (
      Array.isArray(answer) &&
      answer.length === question.points.length &&
      answer.every((value) => Number.isFinite(value) && Math.abs(value) < 1000)
    );
  }
  return "choices" in question ? typeof answer === "string" : Number.isFinite(answer);
}

export interface Verdict {
  readonly said: string;
  readonly truth: string;
  /** How far off, in words. */
  readonly off: string;
  readonly right: boolean;
}

/** A guess beside the truth. */
export function verdict(question: Question, said: Said, truth: Answered): Verdict {
  if ("points" in question) return curveVerdict(question, said, truth as readonly number[]);
  const shown = (value: Said) =>
    value === null
      ? "no guess"
      : typeof value === "number"
        ? withUnit(value, unitOf(question))
        : String(value);
  const right =
    "near" in question && said !== null
      ? Math.abs(Number(said) - Number(truth)) <= question.near
      : said === truth;
  const off = said === null ? "–" : right ? "right" : difference(question, said, truth);
  return { said: shown(said), truth: shown(truth), off, right };
}

function curveVerdict(question: SketchQuestion, said: Said, truth: readonly number[]): Verdict {
  if (said === null) return { said: "no guess", truth: "as the figure shows", off: "–", right: false };
  const by = (said as readonly number[]).map((value, i) => value - truth[i]);
  const away = mean(by.map(Math.abs));
  const farthest = by.reduce((most, value, i) => (Math.abs(value) > Math.abs(by[most]) ? i : most), 0);
  const { name } = question.points[farthest];
  const off = `${withUnit(away, question.unit)} on average, farthest off at ${name}: ${difference(question, by[farthest], 0)}`;
  return { said: "a curve", truth: "as the figure shows", off, right: away <= question.near };
}

const unitOf = (question: Question) => ("unit" in question ? question.unit : "");

function difference(question: Question, said: Answered, truth: Answered): string {
  if (!("near" in question)) return "another answer";
  const by = Number(said) - Number(truth);
  return `${withUnit(Math.abs(by), question.unit)} too ${by > 0 ? "high" : "low"}`;
}

/** Three figures at most, and no more than a tenth: "−6.1 dB". */
export function withUnit(value: number, unit: string): string {
  const text = String(Number(Number(value.toPrecision(3)).toFixed(Math.abs(value) < 1 ? 2 : 1)));
  return `${text.replace("-", "−")}${["", "%", "°"].includes(unit) ? unit : ` ${unit}`}`;
}

/**
 * A number as people type it: a comma or a point, any minus, the unit behind it or not.
 *
 * @returns nothing where it is none
 */
export function typedNumber(text: string, unit: string): number | undefined {
  const plain = text.trim().replace(/[−–]/g, "-").replace(",", ".");
  const bare = unit && plain.endsWith(unit) ? plain.slice(0, -unit.length).trim() : plain;
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(bare) ? Number(bare) : undefined;
}
