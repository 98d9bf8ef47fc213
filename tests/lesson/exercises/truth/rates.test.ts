/** A sample of what scripts/exam-rates.ts counts over 200 variants of each: see tests/README.md. */
import { expect, test } from "vitest";
import { kept, tryAll } from "../../../../scripts/exam-rates/try";
import { ways } from "../../../../scripts/exam-rates/ways";

test.each([
  ["quarry", [1, 6, 11, 16]],
  ["cellar-place", [1, 6, 11]],
] as const)("drawing and microphones together pass %s, and neither of them alone", (id, variants) => {
  const predict = kept();
  const tried = variants.map((variant) => tryAll(id, variant, predict));
  const passed = (way: (typeof ways)[number]) => tried.filter((marks) => marks.get(way)?.passed).length;
  for (const way of ways) {
    if (way === "careful") expect(passed(way), way).toBe(variants.length);
    else expect(passed(way), way).toBe(0);
  }
});
