/**
 * Hearing what a survey says: a rhythm or a noise with the balance that it has at a few positions.
 *
 * For a lesson: `show(listen(audience, { "front row": id, "mix position": id, "back": id }))`.
 */

import { fourierTransform } from "../../measurement/spectra/fft";
import { uniform } from "../../numeric/random";
import type { Survey } from "../../survey/survey";
import { signedDecibels } from "../../text/decibels";
import { escapeHtml } from "../../text/escape";
import { balanceAtPosition, type SubLevelSetting } from "../figures/parts/balance-at-position";
import type { Showable } from "../output/showable";
import { type Sound, soundParts } from "./sounds";

export interface ListenOptions {
  /** What is played. Default "rhythm". */
  readonly sound?: Sound;
  /** Change of the subs' level relative to the survey, dB; positive is louder. Default 0. */
  readonly offset?: number;
  /**
   * True for small loudspeakers, which have nothing below 100 Hz: what lies below 125 Hz is played two octaves higher,
   * with the level that it has at its own frequency. Default false.
   */
  readonly liftLow?: boolean;
}

/** A position as it would be with the subs set otherwise. */
export interface HeardWith extends SubLevelSetting {
  /** Id of the position. */
  readonly position: string;
}

/** Of the players, hertz: what lies above 3.6 kHz decides nothing about subs, and the notebook stays small. */
const sampleRate = 8000;
/** Two seconds, repeated without a seam; a power of two. */
const size = 16384;
/** No sample is higher, of full scale. */
const highestPeak = 0.25;

/**
 * Players of one sound with the balance that it has at some positions.
 *
 * Every position is brought to the same level from 500 to 2000 Hz, since the balance is what is to be heard, and all
 * together are kept below a quarter of full scale. Levels only: echoes and the time of arrival are left out. Turn
 * headphones down first.
 *
 * @param survey  modelled or measured
 * @param positions  ids of positions, by what to call them: `{ "front row": "row 1" }`; or a position with its own setting
 *   of the subs: `{ "inverted": { position: "mix position", polarity: -1 } }`
 * @param options  sound, level of the subs, low band lifted for small loudspeakers
 * @returns something to `show`
 * @throws RangeError when there is no position, or the survey lacks one
 * @source own way, no outside source; check: tests/lesson/sound/listen.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.positions(hall, ["row 1", "mix position"]), { order: 0 });
 * const louder = { position: "mix position", offset: 3 }; // subs 3 dB louder
 * show(listen(survey, { "front row": "row 1", "mix position": "mix position", "+3 dB": louder }));
 */
export function listen(
  survey: Survey,
  positions: { readonly [name: string]: string | HeardWith },
  options: ListenOptions = {},
): Showable {
  const { sound = "rhythm", offset = 0, liftLow = false } = options;
  const names = Object.keys(positions);
  const heard = listenSamples(survey, Object.values(positions), options);
  const players = names.map(
    (name, i) =>
      `<p>${escapeHtml(name)}<br><audio controls loop preload="none" aria-label="${escapeHtml(`${sound} at ${name}`)}" src="data:audio/wav;base64,${wavOf(heard[i]).toString("base64")}"></audio></p>`,
  );
  return {
    html: [
      `<p style="margin-bottom:0"><strong>${sound === "rhythm" ? "Rhythm" : "Noise"}</strong>, subs at ${signedDecibels(offset)}</p>`,
      `<div class="evenground-players" style="display:flex;flex-wrap:wrap;gap:0 1.2em">`,
      ...players,
      "</div>",
      `<p style="max-width:44em"><strong>Headphones:</strong> turn them down first, start one player, then raise the level slowly. ${
        liftLow
          ? "What lies below 125 Hz is played two octaves higher here, for small loudspeakers."
          : "Small loudspeakers can't play the low band: use headphones, or liftLow: true, which plays it two octaves higher."
      }</p>`,
    ].join("\n"),
  };
}

/**
 * The samples behind the players.
 *
 * @returns one array per position, 8000 a second, all on one scale
 * @throws RangeError as `listen`
 */
export function listenSamples(
  survey: Survey,
  positions: readonly (string | HeardWith)[],
  options: ListenOptions = {},
): Float64Array[] {
  const { sound = "rhythm", offset = 0, liftLow = false } = options;
  if (positions.length === 0) throw new RangeError("there is no position to listen at: give one or more");
  const transform = fourierTransform(size);
  const { low, high } = soundParts(sound, size, sampleRate, liftLow ? 4 : 1, uniform(7));
  const raw = positions.map((each) => {
    const { position, ...setting } = typeof each === "string" ? { position: each } : each;
    const gain = balanceAtPosition(survey, position, { offset, ...setting });
    const samples = new Float64Array(size);
    for (const [part, lift] of [
      [low, liftLow ? 4 : 1],
      [high, 1],
    ] as const) {
      transform.re.set(part);
      transform.im.fill(0);
      transform.forward();
      for (let k = 0; k <= size / 2; k++) {
        const g = gain((k * sampleRate) / size / lift);
        for (const bin of k === 0 || k === size / 2 ? [k] : [k, size - k]) {
          transform.re[bin] *= g;
          transform.im[bin] *= g;
        }
      }
      transform.inverse();
      samples.forEach((x, n) => {
        samples[n] = x + transform.re[n];
      });
    }
    return samples;
  });
  const peak = Math.max(...raw.map((x) => x.reduce((most, v) => Math.max(most, Math.abs(v)), 0)));
  return raw.map((x) => x.map((v) => (highestPeak * v) / peak));
}

/** A WAV file of 16-bit mono. */
function wavOf(samples: Float64Array): Buffer {
  const bytes = Buffer.alloc(44 + 2 * samples.length);
  bytes.write("RIFF", 0);
  bytes.writeUInt32LE(36 + 2 * samples.length, 4);
  bytes.write("WAVEfmt ", 8);
  bytes.writeUInt32LE(16, 16);
  bytes.writeUInt16LE(1, 20);
  bytes.writeUInt16LE(1, 22);
  bytes.writeUInt32LE(sampleRate, 24);
  bytes.writeUInt32LE(2 * sampleRate, 28);
  bytes.writeUInt16LE(2, 32);
  bytes.writeUInt16LE(16, 34);
  bytes.write("data", 36);
  bytes.writeUInt32LE(2 * samples.length, 40);
  samples.forEach((x, i) => {
    bytes.writeInt16LE(Math.round(32767 * x), 44 + 2 * i);
  });
  return bytes;
}
