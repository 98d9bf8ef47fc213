/** One show studied through the public interface, held against what is true of it. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { decide, measure, read } from "../../lib/index";

/** truth.json, as show.py writes it. */
export interface Truth {
  readonly seed: number;
  readonly volume_m3: number;
  readonly decay_s: number;
  readonly signal: string;
  readonly snr_db: number;
  readonly noise_floor: boolean;
  readonly both: boolean;
  readonly match: boolean;
  readonly fault: string | null;
  /** Regular expression of what names the cause; in a healthy show, of what names any of all that are planted elsewhere. */
  readonly cause: string;
  readonly offset_db: number;
  readonly positions: readonly TruePosition[];
}

export interface TruePosition {
  readonly id: string;
  readonly mains_snr_db: number;
  readonly subs_snr_db: number;
  readonly mid_band_snr_db: number;
  readonly low_band_snr_db: number;
  readonly mains_arrival_ms: number;
  readonly subs_arrival_ms: number;
}

export interface Row {
  readonly folder: string;
  readonly truth: Truth;
  /** Positions of at least 10 dB above the noise, and how many of them are in the survey. */
  readonly expected: number;
  readonly kept: number;
  /** Offset found less the true one, dB; absent where none was found. */
  readonly error_db?: number;
  /** Half the width of its 90 % interval, dB. */
  readonly half_db?: number;
  /** Whether the interval holds the true offset. */
  readonly inside?: boolean;
  /** All that was said. */
  readonly said: readonly string[];
  /** What of it is not so, in a healthy show. */
  readonly untrue: readonly string[];
  /** Whether the planted fault was named. */
  readonly found?: boolean;
  /** Whether a fault was named where there is none. */
  readonly alarm?: boolean;
  readonly seconds: number;
}

/** Studies the show of a folder. */
export function rowOf(folder: string): Row {
  const truth: Truth = JSON.parse(readFileSync(path.join(folder, "truth.json"), "utf8"));
  const started = performance.now();
  const said: string[] = [];
  const attempt = <T>(work: () => T): T | undefined => {
    try {
      return work();
    } catch (error) {
      said.push((error as Error).message);
      return undefined;
    }
  };
  const show = attempt(() => read.show(folder));
  const measured = show && attempt(() => measure.show(show));
  said.push(...(measured?.problems ?? []), ...(measured?.warnings ?? []));
  const survey = measured?.survey;
  const targetTilt = show?.file.settings?.targetTilt;
  const offset = survey && attempt(() => decide.offset(survey, { targetTilt }));
  const interval = offset?.interval;
  const clear = truth.positions.filter((p) => Math.min(p.mains_snr_db, p.subs_snr_db) >= 10);
  const ids = new Set(survey?.positions.map((p) => p.id));
  const untrue = truth.fault ? [] : said.filter((sentence) => !isTrue(sentence, truth));
  return {
    folder,
    truth,
    expected: clear.length,
    kept: clear.filter((p) => ids.has(p.id)).length,
    ...(offset && { error_db: offset.offset_db - truth.offset_db }),
    ...(interval && {
      half_db: (interval.to_db - interval.from_db) / 2,
      inside: interval.from_db <= truth.offset_db && truth.offset_db <= interval.to_db,
    }),
    said,
    untrue,
    ...(truth.fault ? { found: names(said, truth.cause) } : { alarm: names(untrue, truth.cause) }),
    seconds: (performance.now() - started) / 1000,
  };
}

/** Whether one of the sentences names a cause. */
const names = (said: readonly string[], cause: string) => said.some((s) => new RegExp(cause, "iu").test(s));

/** Whether a sentence about a healthy show is so. */
function isTrue(sentence: string, truth: Truth): boolean {
  if (/microphones were not matched/.test(sentence)) return !truth.match;
  if (/no noise-floor recording|neither a noise-floor recording/.test(sentence)) return !truth.noise_floor;
  const near = truth.positions.filter((p) => sentence.includes(`"${p.id}"`));
  const noisy = (p: TruePosition) =>
    Math.min(p.mains_snr_db, p.subs_snr_db, p.mid_band_snr_db, p.low_band_snr_db) < 10;
  return /noise/.test(sentence) && near.length > 0 && near.every(noisy);
}
