import { expect, test } from "vitest";
import { quietBefore } from "../../../lib/measurement/health/quiet-before";
import { uniform } from "../recordings";

test("quiet lasts until the reference begins, whatever its converter's noise", () => {
  const signal = uniform(1, 4000);
  const hiss = uniform(2, 10_000).map((x) => 1e-4 * x);
  const sent = hiss.slice();
  sent.set(signal, 3000);
  expect(quietBefore(sent, 1000)).toBe(3000);
  expect(quietBefore(signal, 1000)).toBe(0);
  expect(quietBefore(new Float64Array(500), 1000)).toBe(500);
});
