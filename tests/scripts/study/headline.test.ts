import { expect, test } from "vitest";
import { headline } from "../../../scripts/study/headline";

type Result = Parameters<typeof headline>[0];
const answer = (heard_count: number) =>
  ({
    offset: { reasons: ["a", "b", "c", "d"] },
    intervals: { offset_db: [-0.5, 2] },
    heard_count,
  }) as unknown as Result["answer"];

test("the console says first what decides, three reasons at most, and how sure it is", () => {
  expect(headline({ answer: answer(6) }).split("\n")).toEqual([
    "By the drawing and 6 measured positions:",
    "a",
    "b",
    "c",
    "In nine cases of ten the right level lies between −0.5 dB and +2.0 dB relative to the current one.",
  ]);
});

test("without a measurement that can be used it says that this is the model only", () => {
  expect(headline({ answer: answer(0) })).toMatch(/^By the model only, nothing measured could be used:\n/);
});
