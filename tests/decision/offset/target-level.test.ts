import { expect, test } from "vitest";
import { bassForLess, headroomReason, requireTargetLevel } from "../../../lib/decision/offset/target-level";

// ISO 226:2003's contours at 50 Hz, as public libraries reprint them (tests/acoustics/level/loudness.test.ts): 80 phon 101.72 dB,
// 60 phon 89.96, 40 phon 77.78.
test("bass that a softer show wants is what the standard's contours are closer by", () => {
  expect(bassForLess(80, 20)).toBeCloseTo(89.96 - (101.72 - 20), 1);
  expect(bassForLess(60, 20)).toBeCloseTo(77.78 - (89.96 - 20), 1);
  expect(bassForLess(85, 0)).toBe(0);
});

test("a level for which equal loudness is not given is refused", () => {
  expect(() => requireTargetLevel(96)).toThrow("targetLevel is 96, expected 50 to 90 dB");
  expect(() => requireTargetLevel(Number.NaN)).toThrow(/expected 50 to 90/);
});

test("a raise is paid in headroom where that is known, in power where it is not, and a cut in nothing", () => {
  expect(headroomReason(2, 6)).toContain("4.0 dB are left");
  expect(headroomReason(6, 6)).toContain("limiter takes the peaks");
  // 6 dB are four times the power, 3 dB twice: 10^(x/10)
  expect(headroomReason(6.02, undefined)).toContain("4.0 times the power");
  expect(headroomReason(3.01, undefined)).toContain("2.0 times the power");
  expect(headroomReason(-3, undefined)).toBeUndefined();
});
