/** What a prediction of a lesson asks for: a number with its unit, or one of a few choices. */
export type Question = NumberQuestion | ChoiceQuestion;

export interface NumberQuestion {
  readonly asks: string;
  readonly unit: string;
  /** A guess no farther off counts as right, in the same unit. */
  readonly near: number;
}

export interface ChoiceQuestion {
  readonly asks: string;
  readonly choices: readonly string[];
  /** The right one, where no cell computes it. */
  readonly right?: string;
}

/** What was said of a prediction: nothing where the reader asked to be shown without a guess. */
export type Said = string | number | null;

export interface Verdict {
  readonly said: string;
  readonly truth: string;
  /** How far off, in words. */
  readonly off: string;
  readonly right: boolean;
}

/** A guess beside the truth. */
export function verdict(question: Question, said: Said, truth: string | number): Verdict {
  const shown = (value: Said) =>
    value === null ? "no guess" : typeof value === "number" ? withUnit(value, unitOf(question)) : value;
  const right =
    "near" in question && said !== null
      ? Math.abs(Number(said) - Number(truth)) <= question.near
      : said === truth;
  const off = said === null ? "–" : right ? "right" : difference(question, said, truth);
  return { said: shown(said), truth: shown(truth), off, right };
}

const unitOf = (question: Question) => ("unit" in question ? question.unit : "");

function difference(question: Question, said: string | number, truth: string | number): string {
  if (!("near" in question)) return "another answer";
  const by = Number(said) - Number(truth);
  return `${withUnit(Math.abs(by), question.unit)} too ${by > 0 ? "high" : "low"}`;
}

/** Three figures at most, and no more than a tenth: "−6.1 dB". */
function withUnit(value: number, unit: string): string {
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
