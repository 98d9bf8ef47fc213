/** Sounds of our own making to listen to: a rhythm and a noise, each in a low and a high part. */

export type Sound = "rhythm" | "noise";

/** Where the low part ends and the high one begins, hertz. */
const border = 125;

export interface SoundParts {
  /** Below the border, or that much higher where it was lifted. */
  readonly low: Float64Array;
  readonly high: Float64Array;
}

/**
 * One round of a sound, which repeats without a seam.
 *
 * @param sound       which
 * @param size        samples in a round
 * @param sampleRate  hertz
 * @param lift        factor on the frequencies of the low part: 1, or 4 for two octaves
 * @param random      from 0 to 1
 * @throws RangeError when there is no such sound
 */
export function soundParts(
  sound: Sound,
  size: number,
  sampleRate: number,
  lift: number,
  random: () => number,
): SoundParts {
  switch (sound) {
    case "rhythm":
      return rhythm(size, sampleRate, lift, random);
    case "noise":
      return {
        low: pink(size, sampleRate, 28 * lift, border * lift, random),
        high: pink(size, sampleRate, border, 3500, random),
      };
    default:
      throw new RangeError(`sound is "${sound}", expected "rhythm" or "noise"`);
  }
}

/** Four drum beats a round, falling in pitch from 95 to 48 Hz, a clap on the second and fourth, and a few notes. */
function rhythm(size: number, sampleRate: number, lift: number, random: () => number): SoundParts {
  const low = new Float64Array(size);
  const high = new Float64Array(size);
  const beat = size / 4;
  for (const at of [0, 1, 2, 2.75]) {
    let phase = 0;
    strike(low, at * beat, 0.45 * sampleRate, (n) => {
      const t = n / sampleRate;
      phase += (2 * Math.PI * lift * (48 + 47 * Math.exp(-t / 0.03))) / sampleRate;
      return Math.sin(phase) * Math.exp(-t / 0.11) * Math.min(1, t / 0.002);
    });
  }
  for (const at of [1, 3]) {
    strike(
      high,
      at * beat,
      0.2 * sampleRate,
      (n) => 0.35 * (2 * random() - 1) * Math.exp(-n / sampleRate / 0.04),
    );
  }
  [330, 440, 392, 523].forEach((f, i) => {
    strike(high, (i + 0.5) * beat, 0.4 * sampleRate, (n) => {
      const t = n / sampleRate;
      const tone = Math.sin(2 * Math.PI * f * t) + 0.4 * Math.sin(4 * Math.PI * f * t);
      return 0.2 * tone * Math.exp(-t / 0.12) * Math.min(1, t / 0.003);
    });
  });
  return { low, high };
}

/** Adds a stroke; what reaches beyond the round goes on at its start. */
function strike(into: Float64Array, start: number, length: number, value: (n: number) => number): void {
  for (let n = 0; n < length; n++) into[(Math.round(start) + n) % into.length] += value(n);
}

/** Noise with equal power in each third-octave band between two frequencies, as a sum of sines that fit the round. */
function pink(
  size: number,
  sampleRate: number,
  from: number,
  to: number,
  random: () => number,
): Float64Array {
  const out = new Float64Array(size);
  const step = sampleRate / size;
  const first = Math.ceil(from / step);
  const last = Math.floor(to / step);
  // Every bin below a hundred of them, else as many as the ear needs: eight in each twelfth of an octave.
  for (let k = first; k <= last; k = Math.max(k + 1, Math.round(k * 2 ** (1 / 96)))) {
    const width = Math.max(1, Math.round(k * 2 ** (1 / 96)) - k);
    const phase = 2 * Math.PI * random();
    const amplitude = 0.1 * Math.sqrt(width / k);
    for (let n = 0; n < size; n++) out[n] += amplitude * Math.cos((2 * Math.PI * k * n) / size + phase);
  }
  return out;
}
