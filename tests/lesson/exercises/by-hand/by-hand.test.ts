/** Exercises whose answer follows from the numbers in their words: it is found again here from those words, by other means. */
import { describe, expect, it, test } from "vitest";
import { byHand } from "../../../../lib/lesson/exercises/by-hand/entries";
import { entryOf } from "../../../../lib/lesson/exercises/catalogue";
import { exerciseOf } from "../../../../lib/lesson/exercises/exercise";
import { hintFor, type Misconception } from "../../../../lib/lesson/exercises/misconceptions";

type Id = (typeof byHand)[number]["id"];
const variants = Array.from({ length: 60 }, (_, i) => i);
const make = (id: Id, variant: number) => exerciseOf(entryOf(id), variant);
const numbers = (text: string, pattern: RegExp): number[] => {
  const [, ...found] = pattern.exec(text) ?? [];
  expect(found.length, text).toBeGreaterThan(0);
  return found.map(Number);
};
/** Each answer that a test finds by itself must be full marks in every room. */
function expectFull(id: Id, answer: (task: string) => number): void {
  for (const variant of variants) {
    const one = make(id, variant);
    expect(one.check(answer(one.task)).score, `${id} ${variant}: ${one.task}`).toBe(100);
  }
}

describe("the right answer is that of", () => {
  // ISO 226:2003's contours of 60 and 80 phon in dB, as public libraries of other authors reprint them. Between and beside
  // them a straight line is within half a decibel of the contour: on these frequencies they bend that little.
  it("the standard's contours of equal loudness", () => {
    const contours = new Map([
      [31.5, [99.08, 109.65]],
      [40, [94.18, 105.34]],
      [50, [89.96, 101.72]],
      [63, [85.94, 98.36]],
      [80, [82.05, 95.17]],
    ]);
    for (const variant of variants) {
      const one = make("hall-loudness", variant);
      const [tone, , by] = numbers(one.task, /tone of ([\d.]+) Hz .* at (\d+) dB\. .* by (\d+) dB, for/);
      const [soft, loud] = contours.get(tone) as number[];
      const change = one.task.includes("comes down") ? -by : by;
      const answer = (change * (loud - soft)) / 20 - change;
      const { loss_db } = one.check(answer);
      expect(loss_db, one.task).toBeLessThan(0.5);
      expect(one.check(-answer).passed, one.task).toBe(false);
    }
  });

  // Equal pressures in phase: 20 lg of their number (ISO 80000-8).
  it("pressures that add", () => {
    expectFull("hall-limiter", (task) => {
      const [cabinets, more, headroom] = numbers(
        task,
        /(\d+) cabinets .* wants ([\d.]+) dB .* act ([\d.]+) dB/,
      );
      let all = cabinets;
      while (20 * Math.log10(all / cabinets) + headroom < more - 1e-6) all++;
      return all;
    });
  });

  // Group delay of a Linkwitz-Riley lowpass by the closed form of its Butterworth half, order 2: (√2/ω₀)(1 + x²)/(1 + x⁴),
  // x = f/f₀ (any handbook of filters); order 4 as two sections of Q = 0.5412 and 1.3066.
  it("the path that is left when the filter's group delay is taken off", () => {
    const section = (q: number, x: number) => (1 + x * x) / q / ((1 - x * x) ** 2 + (x / q) ** 2);
    expectFull("ballroom-filter", (task) => {
      const [crossover, order, band, seen] = numbers(
        task,
        /part at (\d+) Hz.* order (\d)\. .* around (\d+) Hz, comes ([\d.]+) ms/,
      );
      const half = order === 4 ? [Math.SQRT1_2] : [0.541196, 1.306563];
      const x = band / crossover;
      const late = (1000 * 2 * half.reduce((sum, q) => sum + section(q, x), 0)) / (2 * Math.PI * crossover);
      return (task.includes(" ms before ") ? -seen : seen) - late;
    });
  });

  // Haas 1951: 10 dB; times by distance over speed.
  it("who comes first, and 10 dB from there", () => {
    expectFull("ballroom-voice", (task) => {
      const [hang, pair, beside, late] = numbers(
        task,
        /hang is ([\d.]+) m .* loudspeakers ([\d.]+) m and ([\d.]+) dB .* plays (\d+) ms late/,
      );
      const louder = task.includes("dB softer than") ? -beside : beside;
      const follows = late / 1000 + pair / 343 > hang / 343;
      return (follows ? 10 : -10) - louder;
    });
  });

  // ISO 3382-1: mean of the powers.
  it("the mean of the powers", () => {
    expectFull("meadow-mean", (task) => {
      const [list] = /reach (.*) dB at/.exec(task)?.slice(1) ?? [];
      const levels = list.split(/, | and /).map(Number);
      return 10 * Math.log10(levels.reduce((sum, level) => sum + 10 ** (level / 10), 0) / levels.length);
    });
  });
});

const asked = (id: Id) => {
  const rooms = variants.map((variant) => make(id, variant));
  const right = variants.map((variant) => exerciseOf(entryOf(id), variant, true).solution().answer as number);
  return { rooms, right };
};

describe.each(byHand.map(({ id }) => id))("%s", (id) => {
  it("is passed by no constant in more than a fifth of its variants, and by none on the whole", () => {
    const { rooms, right } = asked(id);
    for (const constant of [1, ...right]) {
      const marks = rooms.map((one) => one.check(constant));
      expect(marks.filter(({ passed }) => passed).length, `${constant}`).toBeLessThanOrEqual(12);
      expect(marks.reduce((sum, { score }) => sum + score, 0) / marks.length).toBeLessThan(30);
    }
  });

  it("gives full marks to its solution, which comes after an attempt, and two hints before", () => {
    const one = make(id, 5);
    expect(() => one.solution()).toThrow(/not tried yet/);
    const wrong = id === "meadow-mean" ? 100.4 : 39;
    const marks = [one.check(wrong), one.check(wrong)];
    for (const [i, { passed, misconception, hint }] of marks.entries()) {
      expect(passed).toBe(false);
      expect(hint).toBe(hintFor(misconception as Misconception, i + 1));
    }
    const { answer } = one.solution();
    expect(one.check(answer)).toMatchObject({ score: 100, loss_db: 0, misconception: null });
  });
});

test("a usual mistake fails, and is told by its name", () => {
  const told = (id: Id, answer: (task: string) => number) =>
    variants.map((variant) => {
      const one = make(id, variant);
      return one.check(answer(one.task)).misconception;
    });
  const seen = (task: string) => {
    const [ms] = numbers(task, /comes ([\d.]+) ms/);
    return task.includes(" ms before ") ? -ms : ms;
  };
  expect(new Set(told("ballroom-filter", seen))).toEqual(new Set(["filter taken for a path"]));
  expect(new Set(told("hall-loudness", () => 0))).toEqual(new Set(["ear taken for a meter"]));
  const levels = (task: string) => (/reach (.*) dB at/.exec(task)?.[1] ?? "").split(/, | and /).map(Number);
  const mean = (task: string) => levels(task).reduce((sum, x) => sum + x, 0) / levels(task).length;
  expect(new Set(told("meadow-mean", mean))).toEqual(new Set(["decibels averaged"]));
  const regardless = (task: string) => numbers(task, /(\d+) cabinets/)[0];
  expect(new Set(told("hall-limiter", regardless))).toEqual(new Set(["raised regardless"]));
});
