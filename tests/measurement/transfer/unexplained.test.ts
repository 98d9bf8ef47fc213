import { describe, expect, test } from "vitest";
import { type Playing, unexplained } from "../../../lib/measurement/transfer/unexplained";
import { normal } from "../../../lib/numeric/random";

const rate = 4000;
const seconds = 32;
const white = (seed: number, level: number) => {
  const next = normal(seed);
  return Float64Array.from({ length: seconds * rate }, () => level * next());
};
/** Tones of a scale, one after the other, that die away, with pauses: most of the spectrum is empty. */
const notes = () => {
  const out = new Float64Array(seconds * rate);
  for (let k = 0; k < 4 * seconds - 4; k++) {
    if (k % 11 === 7) continue;
    const f = 110 * 2 ** ([0, 3, 5, 7, 10, 12][(k * k) % 6] / 12);
    for (let n = 0; n < rate; n++)
      out[(k * rate) / 4 + n] += Math.sin((2 * Math.PI * f * n) / rate) * Math.exp((-6 * n) / rate);
  }
  return out;
};
const sweeps = () =>
  Float64Array.from({ length: seconds * rate }, (_, n) => {
    const t = (n / rate) % 8;
    const growth = Math.log(1800 / 20);
    return t < 6 ? Math.sin(((2 * Math.PI * 20 * 6) / growth) * (Math.exp((t / 6) * growth) - 1)) : 0;
  });

/** A delay of 10 ms and a room whose energy falls by 60 dB in 1 s, by a recursion of its own. */
const inRoom = (sent: Float64Array) => {
  const heard = sent.map((_, n) => sent[n - 40] ?? 0);
  const ring = 10 ** ((-3 * 37) / rate);
  for (let n = 37; n < heard.length; n++) heard[n] += ring * heard[n - 37];
  return heard;
};
const split = (reference: Float64Array, heard: Float64Array, pieces?: Playing["pieces"]) => [
  ...unexplained({ reference, signals: [heard], sampleRate: rate, delays: [0.01], pieces }),
];
const power = (x: Float64Array) => x.reduce((sum, v) => sum + v * v, 0) / x.length;
const decibels = (ratio: number) => 10 * Math.log10(ratio);

describe("what doesn't follow from the signal", () => {
  test.each([
    ["noise", white(1, 1), 1, -20],
    ["sweeps", sweeps(), 1, -20],
    // Between notes little is known of the room, and some of the sound is left.
    ["notes with pauses", notes(), 4, -14],
  ])("is the noise alone, for %s", (_, sent, within, wrong) => {
    const sound = inRoom(sent);
    const noise = white(2, Math.sqrt(power(sound) / 30));
    const [{ explained, rest, fitted }] = split(
      sent,
      sound.map((x, n) => x + noise[n]),
    );
    expect(Math.abs(decibels(power(rest) / (1 - fitted) / power(noise)))).toBeLessThan(within);
    expect(decibels(power(explained.map((x, n) => x - sound[n])) / power(sound))).toBeLessThan(wrong);
  });

  test("adds up with the rest to what was heard, and holds what was heard besides when it was heard", () => {
    const sent = white(3, 1);
    const heard = inRoom(sent);
    for (let n = 10 * rate; n < 14 * rate; n++) heard[n] += 3 * Math.sin((2 * Math.PI * 60 * n) / rate);
    const [{ explained, rest }] = split(sent, heard);
    explained.forEach((x, n) => {
      if (Math.abs(x + rest[n] - heard[n]) > 1e-9) throw new Error(`sample ${n}`);
    });
    expect(power(rest.subarray(11 * rate, 13 * rate))).toBeGreaterThan(3.5);
    expect(power(rest.subarray(20 * rate, 30 * rate))).toBeLessThan(0.4);
  });

  test("is told by the pieces asked for, and nothing is by less than four seconds", () => {
    const sent = white(4, 1);
    const heard = inRoom(sent);
    const spoilt = heard.map((x, n) => (n < 8 * rate ? 30 * Math.cos(n * n) : x));
    const pieces = [[8 * rate, seconds * rate]] as const;
    const [{ rest }] = split(sent, spoilt, pieces);
    expect(decibels(power(rest.subarray(10 * rate)) / power(heard))).toBeLessThan(-20);
    expect(split(sent.subarray(0, 3 * rate), heard)).toEqual([]);
  });
});
