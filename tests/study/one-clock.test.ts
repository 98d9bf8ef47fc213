import { expect, test } from "vitest";
import { resample } from "../../lib/measurement/signals/resample";
import { type Clocks, onOneClock } from "../../lib/study/one-clock";
import type { RecordedTake } from "../../lib/study/show-file";
import { uniform } from "../measurement/recordings";

const rate = 4000;
const reference = uniform(1, 20 * rate);
const take = (playing: "mains" | "subs", position = "row A"): RecordedTake => ({
  playing,
  recording: `${playing}.wav`,
  reference: { recording: "desk.wav" },
  microphones: { [position]: 1 },
});
const fast = resample(reference, 1 - 60e-6); // recorded by a clock 60 ppm fast
const on = (which: RecordedTake, samples: Float64Array, clocks: Clocks) =>
  onOneClock(which, reference, new Map([[1, samples]]), rate, clocks);

test("the drift of two devices is found of mains and taken out of their subs as well, said once", () => {
  const clocks: Clocks = new Map();
  const mains = on(take("mains"), fast, clocks);
  expect([...clocks.values()][0]).toBeCloseTo(60, 0);
  expect(mains.warning).toMatch(/ran 6\d\.\d|59\.\d ppm/);
  const subs = on(take("subs"), fast, clocks);
  expect(subs.warning).toBe(undefined);
  expect(subs.channels.get(1)).toEqual(mains.channels.get(1));
});

test("subs alone tell no drift and are left as they are", () => {
  const { channels, warning } = on(take("subs", "row B"), fast, new Map());
  expect(channels.get(1)).toBe(fast);
  expect(warning).toMatch(/no take of mains tells/);
});

test("clocks that agree are left alone without a word", () => {
  const clocks: Clocks = new Map();
  const { channels, warning } = on(take("mains"), reference, clocks);
  expect(channels.get(1)).toBe(reference);
  expect(warning).toBe(undefined);
});
