/** Takes in rooms by a recursion of their own, from which samples are taken out. */
import { describe, expect, test } from "vitest";
import { lostSamples } from "../../lib/study/lost-samples";
import { atLowRate } from "../../lib/study/low-rate";
import type { OpenTake } from "../../lib/study/open-take";
import type { RecordedTake } from "../../lib/study/show-file";
import { fourthOrderLowpass, inRoom, white } from "./synthetic-take";

// So high that the low rate is another.
const rate = 13_200;
const seconds = 20;

const sweeps = () =>
  Float64Array.from({ length: seconds * rate }, (_, n) => {
    const t = (n / rate) % 9.5;
    const growth = Math.log(3500 / 20);
    return t < 7 ? Math.sin(((2 * Math.PI * 20 * 7) / growth) * (Math.exp((t / 7) * growth) - 1)) : 0;
  });
/** Knocks of a drum and low notes, two a second. */
const music = () => {
  const out = new Float64Array(seconds * rate);
  for (let k = 0; k < 2 * seconds - 2; k++) {
    const f = [41, 55, 49, 65, 73][(k * k) % 5];
    for (let n = 0; n < rate / 2; n++) {
      const t = n / rate;
      const drum = Math.sin(2 * Math.PI * (47 * t + 2.7 * (1 - Math.exp(-t / 0.03)))) * Math.exp(-t / 0.12);
      out[(k * rate) / 2 + n] += drum + 0.4 * Math.sin(2 * Math.PI * f * t) * Math.exp(-t / 0.4);
    }
  }
  return out;
};

function opened(sent: Float64Array, playing: RecordedTake["playing"], lost = 0, at = 0.5, moved = 0) {
  const channels = new Map<number, Float64Array>();
  for (const [i, delay] of [80, 200, 330, 410].entries()) {
    const played = playing === "subs" ? fourthOrderLowpass(sent, 90, rate) : sent;
    const noise = white(20 + i, seconds * rate, 0.01);
    const whole = inRoom(played, delay, 1.1, rate, i + 1).map((x, n) => x + noise[n]);
    // The first microphone is moved as well.
    const count = Math.round((Math.abs(lost) + (i === 0 ? moved : 0)) * rate);
    const from = Math.round(at * whole.length);
    channels.set(
      i + 2,
      lost > 0 ? Float64Array.from(whole, (x, n) => (n < from ? x : (whole[n + count] ?? 0))) : whole,
    );
  }
  const take: RecordedTake = {
    playing,
    recording: `${playing}.wav`,
    reference: 1,
    microphones: { "row 1": 2, "row 2": 3, "row 3": 4, "row 4": 5 },
  };
  const open: OpenTake = {
    reference: sent,
    channels,
    sampleRate: rate,
    oneClock: true,
    start: 0,
    faulty: new Map(),
    damaged: new Set<number>(),
  };
  return lostSamples(take, open, atLowRate(open, playing));
}

describe.each([
  ["noise", () => white(1, seconds * rate, 1)],
  ["sweeps", sweeps],
  ["music", music],
])("with %s", (name, signal) => {
  test("nothing is said of a whole take of subs", () => {
    expect(opened(signal(), "subs")).toEqual([]);
  });

  test("samples lost from a take of subs are told, with how many milliseconds", () => {
    for (const [lost, at] of [
      [0.003, 0.5],
      [0.011, 0.4],
      [0.028, 0.6],
    ]) {
      const [sentence] = opened(signal(), "subs", lost, at);
      const found = sentence?.match(
        /"subs.wav": samples were lost .* ([\d.]+) ms of the microphones: .* earlier/,
      );
      expect(found, `${name}, ${lost} s at ${at}`).toBeTruthy();
      // With less than a third before or after, some of the one is in the other.
      expect(Math.abs(Number(found![1]) - 1000 * lost)).toBeLessThan(1);
    }
  });
});

test("samples lost from a take of mains are told, and none of a whole one", () => {
  const sent = white(2, seconds * rate, 1);
  expect(opened(sent, "mains")).toEqual([]);
  for (const lost of [0.002, 0.013, 0.03]) {
    const [sentence] = opened(sent, "mains", lost);
    expect(Number(sentence.match(/([\d.]+) ms of the microphones/)![1])).toBeCloseTo(1000 * lost, 0);
  }
});

test("they are told though one of the microphones was moved meanwhile, or hears another arrival as its first", () => {
  const [sentence] = opened(white(2, seconds * rate, 1), "mains", 0.013, 0.5, 0.004);
  expect(Number(sentence?.match(/([\d.]+) ms of the microphones/)?.[1])).toBeCloseTo(13, 0);
});
