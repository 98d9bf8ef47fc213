/**
 * What a student may answer by mistake, in any exercise and capstone: each method gives a finite mark or says in a sentence
 * what it can't take, and a refused answer costs nothing.
 */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { capstone } from "../../../lib/lesson/capstones/capstone";
import { capstones } from "../../../lib/lesson/capstones/list";
import { catalogue } from "../../../lib/lesson/exercises/catalogue";
import { exercise } from "../../../lib/lesson/exercises/exercise";
import "../../seed";

const RUNS = Math.ceil(Number(process.env.EVENGROUND_CASES ?? 500) / 50);

const circular: { self?: unknown } = {};
circular.self = circular;
const odd: unknown[] = [
  ...[undefined, null, Number.NaN, Infinity, -1e300, 0, 2.5, 10n, "", "row D", "inverted", true],
  ...[
    [],
    {},
    [[]],
    [{}],
    [null],
    [circular],
    circular,
    () => 1,
    Symbol("s"),
    new Map(),
    new Date(Number.NaN),
  ],
  ...[
    { offset: 1 },
    { offset: Number.NaN, delay: 0, polarity: "inverted" },
    [{ x: Number.NaN, y: 1 }],
    [{ x: 1n, y: 2 }],
  ],
  "Subs: +3 dB, 2 ms later, polarity inverted\nPlace: x NaN, y 1\nThere: +1 dB bass\nBands: none",
];
const anything = fc.oneof(
  fc.constantFrom(...odd),
  fc.anything({ withBigInt: true, withNullPrototype: true }),
);

/** What is wrong with how a method took something; nothing where it took it well. */
function fault(work: () => unknown): string | undefined {
  try {
    const numbers = JSON.stringify(work(), (_, value) => (value === null ? undefined : value));
    return /NaN|Infinity/.test(numbers) ? numbers.slice(0, 200) : undefined;
  } catch (error) {
    if (!(error instanceof RangeError)) return String(error);
    const { message } = error;
    const isSentence = message.length > 25 && !/object Object|is not a function|Cannot read/.test(message);
    return isSentence ? undefined : message;
  }
}

const marked = ({ score, loss_db, best_db }: { score: number; loss_db: number; best_db: number }) => {
  expect([score, loss_db, best_db].every(Number.isFinite)).toBe(true);
  return { score, loss_db, best_db };
};

describe("an answer that is none", () => {
  it.each(catalogue.map((entry) => entry.id))("is refused in a sentence: %s", (id) => {
    const one = exercise(id, 3);
    const left = one.microphonesLeft;
    for (const value of odd) {
      expect(
        fault(() => marked(one.check(value))),
        `check(${typeof value})`,
      ).toBeUndefined();
      expect(
        fault(() => one.measure(value as never).positions.length),
        `measure(${typeof value})`,
      ).toBeUndefined();
    }
    expect(one.microphonesLeft).toBeGreaterThanOrEqual(0);
    expect(one.microphonesLeft).toBeLessThanOrEqual(left);
    fc.assert(
      fc.property(anything, (value) => {
        expect(fault(() => marked(one.check(value)))).toBeUndefined();
        expect(fault(() => one.measure([value] as never).positions.length)).toBeUndefined();
      }),
      { numRuns: RUNS },
    );
  });

  it.each(capstones.map((entry) => entry.id))("is refused in a sentence: %s", (id) => {
    const one = capstone(id, 3);
    for (const value of odd) {
      expect(fault(() => one.check(value as never).score)).toBeUndefined();
      expect(fault(() => one.measure(value as never).positions.length)).toBeUndefined();
      expect(fault(() => one.measure(["mix position"], { setting: value as never }).name)).toBeUndefined();
    }
    expect(one.minutesLeft).toBeGreaterThanOrEqual(0);
    fc.assert(
      fc.property(anything, (value) => {
        expect(fault(() => one.check(value as never).score)).toBeUndefined();
        expect(fault(() => one.measure([value] as never).positions.length)).toBeUndefined();
      }),
      { numRuns: RUNS },
    );
  });
});
