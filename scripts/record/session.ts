/**
 * One evening of recording: level, steps, takes judged and analysed, the show file kept up to date.
 *
 * Nothing sounds that a person did not ask for, and no level is ever raised by itself.
 */
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statfsSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { writeWhole } from "../../lib/files/write";
import { readShow, type Show } from "../../lib/study/read-show";
import type { Venue } from "../../lib/venue/venue";
import { type Signal, testSignal } from "../signals/signals";
import { analysis, type TakeResult } from "./analyse";
import { reasonsAgainst, type TakeReport } from "./judge";
import { writeOwnFile } from "./own-file";
import type { Levels, Recorder, RecorderEvent, Setting } from "./recorder";
import { type DoneTake, showOf } from "./show-of";
import { roundsOf, type Step, stepsOf } from "./steps";

export interface SessionOptions {
  readonly folder: string;
  readonly setting: Setting;
  /** Of the folder; without one there are no expected delays and no estimate. */
  readonly venue?: { readonly file: string; readonly venue: Venue };
  /** Input of the loop-back, from 1. */
  readonly reference: number;
  /** Inputs of the microphones, from 1. */
  readonly microphones: readonly number[];
  /** Where they are to stand, in order. */
  readonly positions: readonly string[];
  /** Seconds that the signal plays in a take. */
  readonly seconds: number;
  readonly name: string;
}

/** What the page shows; plain data. */
export interface SessionState {
  readonly folder: string;
  readonly inputs: readonly InputState[];
  /** Seconds that fit onto the disk; none where the system doesn't say. */
  readonly left_s: number | null;
  readonly level: LevelState;
  readonly steps: readonly (Step & {
    readonly done: boolean;
    readonly where: Readonly<Record<string, number>>;
  })[];
  /** Id of the step to record next; none when all are done. */
  readonly next: string | null;
  readonly recording: { readonly id: string; readonly at_s: number; readonly of_s: number } | null;
  readonly last: LastTake | null;
  /** What a person should know: a device that is gone, files from before. */
  readonly notes: readonly string[];
  readonly showFile: string | null;
}

export interface InputState {
  readonly number: number;
  readonly role: string;
  readonly peak_db: number;
  readonly rms_db: number;
  /** Highest since it was last cleared. */
  readonly hold_db: number;
  readonly clipped: boolean;
}

export interface LevelState {
  /** RMS level of the signal re full scale that a person has chosen; none before one has. */
  readonly chosen_db: number | null;
  readonly playing: boolean;
  /** The highest that the signal's peaks allow. */
  readonly most_db: number;
}

export interface LastTake {
  readonly id: string;
  readonly accepted: boolean;
  readonly reasons: readonly string[];
  readonly result: TakeResult | null;
  /** The estimate before this take, to see what it did. */
  readonly before: TakeResult["estimate"];
  /** From the end of the take to this. */
  readonly seconds: number;
}

export type Session = ReturnType<typeof startSession>;

/** dB re full scale at which the level begins: hardly above the noise of a system that is turned up. */
export const FIRST_LEVEL = -60;

export function startSession(recorder: Recorder, options: SessionOptions, changed: () => void = () => {}) {
  const { folder, setting, reference, microphones, positions, seconds, venue } = options;
  const { rate, inputs, outputs } = setting;
  const rounds = roundsOf(positions, microphones.length);
  const steps = stepsOf(rounds.length, seconds).filter(
    ({ kind }) => kind !== "match" || microphones.length > 1,
  );
  const scratch = mkdtempSync(path.join(tmpdir(), "evenground-record-"));
  const notes = [...putAside(folder)];
  const done: DoneTake[] = [];
  const skipped = new Set<string>();
  let analyse = analysis();
  const level = { chosen: null as number | null, playing: false };
  const held = Array.from({ length: inputs }, () => ({ hold: 0, clipped: false }));
  let levels: Levels | undefined;
  let running: { step: Step; frames: number; signal?: Signal; file: string } | undefined;
  let last: LastTake | null = null;
  let showFile: string | null = null;
  let estimate: TakeResult["estimate"] = null;
  const signals = new Map<number, Signal>();
  const noiseOf = (length: number): Signal => {
    const known = signals.get(length) ?? testSignal("noise", { sampleRate: rate, seconds: length });
    signals.set(length, known);
    return known;
  };
  const loop = noiseOf(10);
  const most = loop.rms_db - loop.peak_db;

  const soundFile = (signal: Signal, name: string): string => {
    const file = path.join(scratch, name);
    const all = new Float32Array(signal.samples.length * outputs);
    for (let n = 0; n < signal.samples.length; n++)
      all.fill(signal.samples[n], n * outputs, (n + 1) * outputs);
    writeFileSync(file, Buffer.from(all.buffer));
    return file;
  };
  const gainFor = (signal: Signal, db: number) => 10 ** ((db - signal.rms_db) / 20);
  const whereIn = ({ kind, round }: Step): Record<string, number> =>
    kind === "match"
      ? Object.fromEntries(microphones.map((n, i) => [positions[i] ?? `microphone ${n}`, n]))
      : Object.fromEntries((rounds[round] ?? []).map((position, i) => [position, microphones[i]]));
  const stepOf = (id: string) => {
    const step = steps.find((s) => s.id === id);
    if (!step) throw new RangeError(`there is no take "${id}"`);
    return step;
  };

  function listen(event: RecorderEvent): void {
    if (event.event === "levels") {
      levels = event;
      event.peak.forEach((peak, i) => {
        if (!held[i]) return;
        held[i].hold = Math.max(held[i].hold, peak);
        if (peak >= CLIPPED) held[i].clipped = true;
      });
    } else if (event.event === "take") ended(event);
    else if (event.event === "refused") {
      notes.push(`the recorder refuses: ${event.why}`);
      running = undefined;
    } else if (event.event === "device-gone" || event.event === "ended") {
      level.playing = false;
      running = undefined;
      notes.push(
        "the audio interface has stopped: check its cable, then start this command again; takes that were accepted are kept",
      );
    }
    changed();
  }

  function ended(report: TakeReport): void {
    const take = running;
    if (!take) return;
    running = undefined;
    const began = performance.now();
    const { step, signal } = take;
    const used = whereIn(step);
    const reasons = reasonsAgainst({
      report,
      microphones: [...new Set(Object.values(used))],
      ...(signal && { played: { sent: signal.samples, reference } }),
    });
    let result: TakeResult | null = null;
    const before = estimate;
    if (reasons.length) setAside(folder, report);
    else {
      const name = `${step.id}.wav`;
      done.push({ id: step.id, kind: step.kind, file: name, reference, microphones: used });
      writeWhole(path.join(folder, TAKES), `${JSON.stringify({ takes: done }, null, 2)}\n`);
      const show = writeShow();
      if (show && step.kind !== "match" && step.kind !== "noise") {
        result = analyse(show);
        estimate = result.estimate;
      }
    }
    last = {
      id: step.id,
      accepted: reasons.length === 0,
      reasons,
      result,
      before,
      seconds: (performance.now() - began) / 1000,
    };
  }

  function writeShow(): Show | undefined {
    const file = venue && showOf(options.name, venue.file, done);
    if (!venue || !file) return undefined;
    showFile = writeOwnFile(folder, "show.json", `${JSON.stringify(file, null, 2)}\n`);
    return readShow(path.join(folder, showFile));
  }

  function state(): SessionState {
    const db = (x: number) => Math.max(-120, 20 * Math.log10(x || 1e-6));
    const role = (n: number) =>
      n === reference ? "loop-back" : microphones.includes(n) ? "microphone" : "not used";
    const next = steps.find(({ id }) => !skipped.has(id) && !done.some((take) => take.id === id));
    return {
      folder,
      inputs: held.map(({ hold, clipped }, i) => ({
        number: i + 1,
        role: role(i + 1),
        peak_db: db(levels?.peak[i] ?? 0),
        rms_db: db(levels?.rms[i] ?? 0),
        hold_db: db(hold),
        clipped,
      })),
      left_s: secondsLeft(folder, 4 * inputs * rate),
      level: { chosen_db: level.chosen, playing: level.playing, most_db: most },
      steps: steps.map((step) => ({
        ...step,
        done: done.some(({ id }) => id === step.id),
        where: whereIn(step),
      })),
      next: next?.id ?? null,
      recording: running
        ? { id: running.step.id, at_s: (levels?.frame ?? 0) / rate, of_s: running.frames / rate }
        : null,
      last,
      notes,
      showFile,
    };
  }

  const requireLevel = (db: unknown): number => {
    if (typeof db === "number" && db >= -90 && db <= most) return db;
    throw new RangeError(`the level is ${db}, expected −90 to ${most.toFixed(1)} dB re full scale`);
  };
  const requireIdle = () => {
    if (running) throw new RangeError("a take is being recorded: stop it first");
  };

  for (const take of takesBefore(folder)) {
    if (!steps.some(({ id }) => id === take.id)) continue;
    done.push(take);
    hearAgain(done.length);
  }
  if (done.length)
    notes.push(`${done.length} takes of before are kept: ${done.map(({ id }) => id).join(", ")}`);

  recorder.listen(listen);
  const actions = {
    /** Plays the signal over and over at a level, fading in; a second call changes the level. */
    play(db: unknown): void {
      requireIdle();
      const gain = gainFor(loop, requireLevel(db));
      if (level.playing) recorder.order({ do: "level", gain });
      else {
        const period = { ...loop, samples: middle(loop.samples, rate) };
        recorder.order({ do: "play", sound: soundFile(period, "loop.f32"), gain, loop: true });
      }
      level.playing = true;
      level.chosen = db as number;
    },
    quiet(): void {
      recorder.order({ do: "quiet" });
      level.playing = false;
    },
    /** Records a take; one of the same name that was accepted before is put aside first. */
    take(id: unknown): void {
      requireIdle();
      const step = stepOf(String(id));
      if (step.plays && level.chosen === null)
        throw new RangeError("no level is chosen yet: play the signal quietly first, and raise it by ear");
      if (level.playing) actions.quiet();
      repeat(step);
      const file = path.join(folder, `${step.id}.wav`);
      if (step.plays) {
        const signal = noiseOf(step.seconds);
        const frames = signal.samples.length;
        const sound = soundFile(signal, "take.f32");
        running = { step, frames, signal, file };
        recorder.order({ do: "take", file, frames, sound, gain: gainFor(signal, level.chosen!) });
      } else {
        const frames = step.seconds * rate;
        running = { step, frames, file };
        recorder.order({ do: "take", file, frames });
      }
    },
    /** Passes over a take; it can still be recorded later. */
    skip(id: unknown): void {
      skipped.add(stepOf(String(id)).id);
    },
    clearClips(): void {
      for (const each of held) Object.assign(each, { hold: 0, clipped: false });
    },
  };

  function repeat(step: Step): void {
    const at = done.findIndex(({ id }) => id === step.id);
    const file = path.join(folder, `${step.id}.wav`);
    if (at >= 0) {
      done.splice(at, 1);
      // What it said is taken out by hearing the others again.
      analyse = analysis();
      estimate = null;
      for (let count = 1; count <= done.length; count++) hearAgain(count);
    }
    if (existsSync(file)) moveAside(folder, file);
  }

  /** Analyses the last of the first so many takes. */
  function hearAgain(count: number): void {
    const { kind } = done[count - 1];
    const file = venue && showOf(options.name, venue.file, done.slice(0, count));
    if (!venue || !file || kind === "match" || kind === "noise") return;
    const show = { file, venue: venue.venue, folder, fileName: "show.json", remarks: [] };
    estimate = analyse(show).estimate;
  }

  return {
    state,
    ...actions,
    async close(): Promise<void> {
      await recorder.close();
      rmSync(scratch, { recursive: true, force: true });
    },
  };
}

/** Full scale of float samples, less one step of 16 bits. */
const CLIPPED = 1 - 2 ** -14.9;

/** What of a signal repeats without a seam: neither quiet nor fades. */
function middle(samples: Float64Array, rate: number): Float64Array {
  const period = 2 ** Math.ceil(Math.log2(5 * rate));
  const start = Math.round(3 * rate);
  return samples.subarray(start, start + period);
}

function secondsLeft(folder: string, bytesPerSecond: number): number | null {
  try {
    const { bavail, bsize } = statfsSync(folder);
    return Math.floor((bavail * bsize) / bytesPerSecond);
  } catch {
    return null;
  }
}

const TAKES = "takes.json";

/** Takes that an earlier call has accepted and whose files are still there. */
function takesBefore(folder: string): DoneTake[] {
  const file = path.join(folder, TAKES);
  if (!existsSync(file)) return [];
  const { takes } = JSON.parse(readFileSync(file, "utf8")) as { takes: DoneTake[] };
  return takes.filter((take) => existsSync(path.join(folder, path.basename(take.file))));
}

const ASIDE = "refused";

/** Moves what a refused take left into a folder of its own, where nothing takes it for a take. */
function setAside(folder: string, { file }: TakeReport): void {
  for (const left of [file, `${file}.part`]) if (existsSync(left)) moveAside(folder, left);
}

function moveAside(folder: string, file: string): string {
  const into = path.join(folder, ASIDE);
  mkdirSync(into, { recursive: true });
  const { name, ext } = path.parse(file.replace(/\.part$/, ""));
  for (let k = 1; ; k++) {
    const target = path.join(into, `${name}-${k}${ext}`);
    if (existsSync(target)) continue;
    renameSync(file, target);
    return path.join(ASIDE, path.basename(target));
  }
}

/** What a recording that was killed has left is put aside, readable as far as it went. */
function putAside(folder: string): string[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith(".wav.part"))
    .map(
      (name) =>
        `${name} is what a broken recording left; as far as it went it can be read as ${moveAside(folder, path.join(folder, name))}`,
    );
}
