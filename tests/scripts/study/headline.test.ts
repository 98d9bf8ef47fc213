import { expect, test } from "vitest";
import { headline } from "../../../scripts/study/headline";

type Result = Parameters<typeof headline>[0];
const decided = (reasons: string[]) => ({ offset: { reasons } });
const model = decided(["model 1", "model 2"]) as unknown as Result["model"];

test("the console says first how many positions were measured, and the measurement's reasons, three at most", () => {
  const measured = { ...decided(["a", "b", "c", "d"]), positions_count: 6 } as unknown as Result["measured"];
  expect(headline({ measured, model })).toBe("Measured at 6 positions:\na\nb\nc");
});

test("without a measurement that can be used it says that this is the model only", () => {
  expect(headline({ model })).toBe("By the model only, nothing measured could be used:\nmodel 1\nmodel 2");
});
