import { expect, test } from "vitest";
import { headline } from "../../../scripts/study/headline";

type Result = Parameters<typeof headline>[0];
const answer = (heard_count: number, setting = { polarity: 1, delay_ms: 0 }) =>
  ({
    offset: { offset_db: 0.31, audience: { within3dB_fraction: 0.7, within6dB_fraction: 0.99 } },
    intervals: { offset_db: [-0.5, 2], within3dB_fraction: [0.58, 0.76] },
    heard_count,
    setting,
  }) as unknown as Result["answer"];

test("the console says first what to set, then what it brings, how sure it is and what it rests on", () => {
  expect(headline({ answer: answer(6) }).split("\n")).toEqual([
    "Subs: +0.3 dB on the current level, polarity unchanged, delay unchanged.",
    "With this 70 % of the people are to be expected within 3 dB of the target and 99 % within 6 dB. In nine cases of ten the right change lies between −0.5 dB and +2.0 dB, and 58 % to 76 % of the people are within 3 dB. This rests on the drawing and 6 measured positions.",
  ]);
});

test("without a measurement that can be used it says that this is the drawing alone", () => {
  expect(headline({ answer: answer(0) })).toMatch(
    /This rests on the drawing alone: nothing measured could be used\.$/,
  );
});

test("polarity and delay are said where they are to be changed, of whichever group is to be later", () => {
  const first = (polarity: number, delay_ms: number) =>
    headline({ answer: answer(6, { polarity, delay_ms }) }).split("\n")[0];
  expect(first(-1, 0)).toBe("Subs: +0.3 dB on the current level, polarity inverted, delay unchanged.");
  expect(first(1, 2)).toMatch(/polarity unchanged, subs delayed by 2\.00 ms\.$/);
  expect(first(-1, -3.456)).toMatch(/polarity inverted, mains delayed by 3\.46 ms\.$/);
});
