/** The rule by which an answer is fit for use, as a table: each case differs from a good one in what it names. */
import { expect, test } from "vitest";
import { fitnessOf } from "../../lib/study/fitness";

type Input = Parameters<typeof fitnessOf>[0];
interface Case {
  readonly heard?: number;
  readonly interval?: readonly [number, number];
  readonly within?: number;
  readonly atEnd?: boolean;
  readonly problems?: readonly string[];
  readonly warnings?: readonly string[];
}
const input = (c: Case): Input => ({
  answer: {
    heard_count: c.heard ?? 6,
    intervals: { offset_db: c.interval ?? [-1, 1] },
    offset: { atEndOfRange: c.atEnd ?? false, audience: { within3dB_fraction: c.within ?? 0.7 } },
  },
  problems: c.problems ?? [],
  warnings: c.warnings ?? [],
});

test.each<[string, Case, string, RegExp]>([
  ["six microphones, 2 dB, nothing to remark", {}, "fit for use", /to within 2\.0 dB/],
  ["just 3 dB", { interval: [-1.5, 1.5] }, "fit for use", /to within 3\.0 dB/],
  ["just half of the people", { within: 0.5 }, "fit for use", /nothing measured was refused/],
  ["more than 3 dB", { interval: [-1, 2.1] }, "use with care", /to within 3\.1 dB only/],
  ["just 6 dB", { interval: [-2, 4] }, "use with care", /to within 6\.0 dB only/],
  ["fewer than half of the people", { within: 0.49 }, "use with care", /fewer than half/i],
  ["the end of the range", { atEnd: true }, "use with care", /can't reach the target/],
  ["one problem", { problems: ["a"] }, "use with care", /Something could not be used/],
  ["two problems", { problems: ["a", "b"] }, "use with care", /2 things could not be used/],
  ["one remark", { warnings: ["a"] }, "use with care", /A remark stands under "Before you trust it"/],
  ["two remarks", { warnings: ["a", "b"] }, "use with care", /2 remarks stand/],
  ["more than 6 dB", { interval: [-2, 4.1] }, "measure again", /to within 6\.1 dB only/],
  ["nothing measured", { heard: 0 }, "measure again", /Nothing measured went into/],
  [
    "the worst decides",
    { heard: 0, warnings: ["a"], problems: ["a"], within: 0.1 },
    "measure again",
    /^Nothing measured went into this answer\.$/,
  ],
])("%s", (_, given, state, why) => {
  const found = fitnessOf(input(given));
  expect(found.state).toBe(state);
  expect(found.why).toMatch(why);
  expect(found.why).toMatch(/^[A-Z0-9].*\.$/);
});

test("all that calls for care is named", () => {
  const { why } = fitnessOf(input({ within: 0.3, problems: ["a"], warnings: ["b"] }));
  expect(why).toBe(
    'Fewer than half of the people are within 3 dB of the target, something could not be used and a remark stands under "Before you trust it" in the technician\'s report.',
  );
});
