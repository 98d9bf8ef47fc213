/** The recording made while all loudspeakers were muted: it tells noise from reverberation. */
import { modelFrequencies } from "../field/frequencies";
import { noiseDensity } from "../measurement/transfer/noise";
import { load, partOf } from "./open-take";
import type { Show } from "./read-show";

/** Density of the noise at each channel of that recording, mean square per hertz at the model's frequencies. */
export type NoiseFloor = ReadonlyMap<number, Float64Array>;

/** Those of a show, where it has them; `warnings` is added to. */
export function noiseFloorOf(show: Show, warnings: string[]): NoiseFloor | undefined {
  const given = show.file.noiseFloor;
  const recorded = show.file.takes.flatMap((take) =>
    "microphones" in take ? Object.values(take.microphones) : [],
  );
  if (!given) return undefined;
  const { channels, sampleRate } = load(
    show,
    given.recording,
    "noiseFloor.recording",
    [...new Set(recorded)],
    warnings,
    { ...partOf(given), look: "quiet" },
  );
  if (channels.size === 0) return undefined;
  const densities = noiseDensity([...channels.values()], sampleRate, modelFrequencies());
  return new Map([...channels.keys()].map((n, i) => [n, densities[i]]));
}

/** How the noise of a take was told. */
export interface NoiseTold {
  /** By a recording in which nothing plays, or by the take itself: "playing", or not at all. */
  readonly noise: "quiet" | "playing" | "untold";
  /** By how much the loudest noise would raise a level, were it taken for reverberation, dB. */
  readonly noiseCost: number;
}

/** A take whose noise no quiet tells. */
export interface NoisyTake extends NoiseTold {
  /** File of the take. */
  readonly recording: string;
}

/** What it costs that noise was recorded nowhere: one sentence, or none. */
export function noiseWarning(takes: readonly NoisyTake[]): string[] {
  const where = takes.map(({ recording }) => `"${recording}"`).join(", ");
  if (takes.some(({ noise }) => noise === "untold")) {
    return [
      `there is no noise-floor recording, no quiet before the signal and too little of it in ${where}: noise counts as reverberation there, which makes quiet positions read too loud; record the noise floor`,
    ];
  }
  const cost = Math.max(0, ...takes.map(({ noiseCost }) => noiseCost));
  if (cost < 0.2) return [];
  return [
    `there is neither a noise-floor recording nor a second of quiet before the signal in ${where}: noise was told from reverberation by what stays incoherent over several seconds, and up to ${cost.toFixed(1)} dB of a position's level was taken for noise; where the air moved that is too much: record the noise floor`,
  ];
}
