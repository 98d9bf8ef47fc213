import { expect, test } from "vitest";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { type Candidate, grade } from "../../../lib/lesson/exercises/grade";

const positions = [
  { x: 3, y: 3 },
  { x: 7, y: -1.5 },
  { x: 12, y: -3.5 },
];
const spread = (one: Candidate) => levelOffset(one.measure(positions)).offset_db;

test("a way to decide that holds in several rooms passes, a number that was right in one does not", () => {
  const variants = [1, 2, 3];
  expect(grade("cellar-level", variants, spread)).toMatchObject({ passed: true });
  const copied = grade("cellar-level", variants, () => 6.2);
  expect(copied.passed).toBe(false);
  expect(() => copied.required()).toThrow(/cellar-level: \d+ of 100, and 80 are enough/);
});

test("a way to decide gets no check and no solution to peep at", () => {
  const peep = grade("cellar-level", [3], (one) => {
    expect(Object.keys(one)).not.toContain("check");
    const { check, solution } = one as unknown as { check?: unknown; solution?: unknown };
    expect(check).toBeUndefined();
    expect(solution).toBeUndefined();
    return 0;
  });
  expect(peep.tried[0]).toMatchObject({ problem: null, misconception: "left as it was" });
});

test("what throws, or answers another question, is no answer and worth nothing", () => {
  const thrown = grade("cellar-level", [1], () => {
    throw new Error("nothing is written here yet");
  });
  expect(thrown.tried).toEqual([{ score: 0, misconception: null, problem: "nothing is written here yet" }]);
  expect(grade("cellar-level", [1], () => "louder").tried[0].problem).toMatch(/expected/);
  expect(() => grade("cellar-level", [1], undefined as never)).toThrow(/expected a function/);
});

test("each room tells the mistake behind its answer", () => {
  const idle = grade("cellar-level", [1, 2], () => 0);
  expect(idle.tried.map(({ misconception }) => misconception)).toEqual(["left as it was", "left as it was"]);
});
