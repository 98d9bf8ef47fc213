import { expect, test } from "vitest";
import { inDecibels, percent, signedDecibels } from "../../lib/text/decibels";

test.each([
  [2.46, "2.5 dB", "+2.5 dB"],
  [-2.46, "−2.5 dB", "−2.5 dB"],
  [0.04, "0.0 dB", "0.0 dB"],
  [-0.04, "0.0 dB", "0.0 dB"],
  [0, "0.0 dB", "0.0 dB"],
])("%d decibels have a sign of the right width, and nothing has none", (x, plain, signed) => {
  expect(inDecibels(x)).toBe(plain);
  expect(signedDecibels(x)).toBe(signed);
});

test("digits and percent are rounded", () => {
  expect(signedDecibels(-3.456, 2)).toBe("−3.46 dB");
  expect(percent(0.875)).toBe("88 %");
});
