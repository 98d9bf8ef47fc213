import { readOptions } from "../setup/options.mjs";
import { type SignalKind, signalKinds } from "./signals";

export interface SignalsCall {
  readonly folder: string;
  readonly only?: SignalKind;
  readonly rate: number;
  readonly seconds?: number;
  readonly from?: number;
  readonly to?: number;
  readonly level: number;
}

/** What `npm run signals` takes; nothing where only help was wanted. */
export function readSignalsOptions(args: readonly string[]): SignalsCall | undefined {
  const read = readOptions(args, {
    call: "npm run signals",
    words: [
      { name: "FOLDER", needed: true, says: "where the WAV files go; those of the same name are replaced" },
    ],
    options: {
      only: {
        value: "KIND",
        says: `one of ${signalKinds.join(", ")}; by default all of them`,
        one: signalKinds,
      },
      rate: { value: "HERTZ", says: "sample rate (default 48000)", whole: [8000, 192_000], usual: 48_000 },
      seconds: {
        value: "N",
        says: "length in seconds: by default noise 30, sweep and pulses 10",
        whole: [2, 120],
      },
      from: { value: "HERTZ", says: "lowest frequency of noise and sweep (default 20)", whole: [5, 10_000] },
      to: {
        value: "HERTZ",
        says: "highest frequency of noise and sweep (default 20000)",
        whole: [40, 90_000],
      },
      below: {
        value: "DB",
        says: "RMS level of noise and sweep, peak of the pulses, dB below full scale (default 20)",
        whole: [6, 80],
        usual: 20,
      },
    },
    more: "Begin with the console's fader down and raise it by ear: a test signal at show level harms hearing.",
  });
  if (!read) return undefined;
  const { only, rate, seconds, from, to, below } = read.values;
  return { folder: read.words[0], only, rate, seconds, from, to, level: -below };
}
