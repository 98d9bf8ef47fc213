import { describe, expect, it } from "vitest";
import { type RecordingHealth, recordingHealth } from "../../../lib/measurement/health/recording";
import type { WavEncoding } from "../../../lib/measurement/wav/format";
import { openWav, readWav } from "../../../lib/measurement/wav/read";
import { encodeWav } from "../../../lib/measurement/wav/write";
import { seeded } from "../seeded";

const sampleRate = 48000;
const seconds = 2;

function noise(level = 0.1, seed = 1): Float64Array {
  const random = seeded(seed);
  return Float64Array.from({ length: seconds * sampleRate }, () => level * random.normal());
}

function sine(frequency: number, amplitude: number): Float64Array {
  return Float64Array.from(
    { length: seconds * sampleRate },
    (_, i) => amplitude * Math.sin((2 * Math.PI * frequency * i) / sampleRate),
  );
}

function health(channels: Float64Array[], encoding: WavEncoding = "int24"): RecordingHealth {
  const reader = openWav(encodeWav({ sampleRate, channels, encoding }));
  return recordingHealth(reader);
}

const kinds = ({ faults }: RecordingHealth) =>
  faults.map(({ kind, channel }) => `${kind} ${channel ?? "file"}`);

describe("recordingHealth", () => {
  it("finds nothing wrong with noise, nor with slow and loud sines that rest at their top for a few steps", () => {
    for (const encoding of ["int16", "int24", "float32"] as const) {
      const clean = [noise(), sine(20, 0.99), sine(31.5, 0.02), sine(997, 0.7), sine(16_000, 0.5)];
      expect(kinds(health(clean, encoding))).toEqual([]);
    }
  });

  it("gives peak, effective value and mean of a sine with an offset", () => {
    const { channels, duration } = health([sine(1000, 0.5).map((x) => x + 0.25)], "float64");
    expect(duration).toBe(2);
    expect(channels[0].peak).toBeCloseTo(0.75, 9);
    expect(channels[0].effective).toBeCloseTo(0.5 / Math.SQRT2, 9);
    expect(channels[0].mean).toBeCloseTo(0.25, 9);
  });

  it("finds clipping at full scale, and says channel and time", () => {
    const clipped = noise(0.1);
    // From 1.5 s on a sine four times too loud.
    sine(100, 4).forEach((x, i) => {
      if (i >= 1.5 * sampleRate) clipped[i] = x;
    });
    const result = health([noise(), clipped], "int16");
    expect(kinds(result)).toEqual(["clipping 1"]);
    // 4 sin(2π · 100 t) first exceeds 1 at asin(1/4) / 628.3 = 0.402 ms.
    expect(result.faults[0].time).toBeCloseTo(1.5 + 0.0004, 4);
    expect(result.faults[0].message).toMatch(
      /^recording "recording": channel 2 at 1.500 s and in 100 places in all is clipped; lower the gain and record anew$/,
    );
  });

  it("finds the flat top of a stage that clipped before the recorder turned it down", () => {
    for (const [encoding, gain] of [
      ["int16", 0.3],
      ["int24", 0.01],
      ["float32", 0.05],
    ] as const) {
      const flat = sine(50, 1.2).map((x) => gain * Math.max(-1, Math.min(1, x)));
      expect(kinds(health([flat], encoding))).toEqual(["clipping 0"]);
    }
  });

  it("finds silence, whether zeros or noise of the last bit", () => {
    const result = health([noise(), new Float64Array(seconds * sampleRate), noise(2e-5)], "int24");
    expect(kinds(result)).toEqual(["silence 1", "silence 2"]);
    expect(result.faults[0].message).toMatch(
      /channel 2 is silent \(nothing but zeros, expected above -80 dB/,
    );
    expect(result.faults[1].message).toMatch(/channel 3 is silent \(-94 dB/);
    expect(result.faults.every((fault) => fault.fatal)).toBe(true);
  });

  it("finds samples that are no numbers, with their first time, and still tells the level of the rest", () => {
    const broken = noise();
    broken[24_000] = NaN;
    broken[36_000] = Infinity;
    broken[48_000] = 1e30;
    const result = health([broken], "float32");
    expect(kinds(result)).toEqual(["not-a-number 0"]);
    expect(result.faults[0].time).toBe(0.5);
    expect(result.faults[0].message).toMatch(
      /channel 1 at 0.500 s and in 3 samples in all is no usable number/,
    );
    expect(result.channels[0].effective).toBeCloseTo(0.1, 2);
  });

  it("finds gaps of exact zeros between sounds, but not the quiet before and after", () => {
    const gap = noise();
    gap.fill(0, 0, 4800);
    gap.fill(0, 30_000, 31_000);
    gap.fill(0, 50_000, 50_100);
    gap.fill(0, 90_000);
    const result = health([gap]);
    expect(kinds(result)).toEqual(["gap 0"]);
    expect(result.faults[0].time).toBe(0.625);
    expect(result.channels[0].gaps.count).toBe(1);
  });

  it("takes a pause that music fades into, or begins anew after, for no gap", () => {
    const fade = (n: number, from: number) => Math.max(0, 1 - (n - from) / 4800);
    const music = noise().map((x, n) => {
      if (n < 20_000) return x;
      if (n < 40_000) return Math.round(32768 * x * fade(n, 20_000)) / 32768; // 0.1 s into exact zeros, and a hard beginning
      return x;
    });
    expect(kinds(health([music]))).toEqual([]);
  });

  it("takes zeros of more than a twentieth of a second in what was sent for a pause, however hard its edges", () => {
    const sent = noise();
    sent.fill(0, 30_000, 33_000);
    const recording = { name: "a.wav", sampleRate, channels: [sent], warnings: [] };
    expect(recordingHealth(recording).faults.map((f) => f.kind)).toEqual(["gap"]);
    expect(recordingHealth(recording, { sent: [0] }).faults).toEqual([]);
  });

  it("finds a constant offset", () => {
    const result = health([noise().map((x) => x + 0.05)]);
    expect(kinds(result)).toEqual(["offset 0"]);
    expect(result.faults[0].message).toMatch(/offset of 5\.0 % of full scale/);
  });

  it("finds a recording that is too short for its use", () => {
    const reader = openWav(encodeWav({ sampleRate, channels: [noise().subarray(0, 10_000)] }));
    const { faults } = recordingHealth(reader, { minimumDuration: 0.35 });
    expect(faults.map((fault) => fault.message)).toEqual([
      'recording "recording": length is 0.21 s, expected 0.35 s or more; record longer',
    ]);
  });

  it("says the same of a recording in memory as of one read in blocks", () => {
    const channels = [noise(), sine(50, 1.2).map((x) => 0.5 * Math.max(-1, Math.min(1, x))), noise(0)];
    const bytes = encodeWav({ sampleRate, channels });
    expect(recordingHealth(readWav(bytes))).toEqual(recordingHealth(openWav(bytes)));
  });
});
