/**
 * One evening of recording: level, steps, takes judged and analysed, the show file kept up to date.
 *
 * Nothing sounds that a person did not ask for, and no level is ever raised by itself.
 */
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { writeWhole } from "../../lib/files/write";
import { readShow, type Show } from "../../lib/study/read-show";
import { standFor } from "../../lib/study/stand-for";
import type { Venue } from "../../lib/venue/venue";
import { type Signal, testSignal } from "../signals/signals";
import { type AirTold, airOf } from "./air";
import { analysis, type TakeResult, type WalkTaken } from "./analyse";
import { arrived, freeName, moveAside, putAside, secondsLeft, setAside, TAKES, takesBefore } from "./folder";
import { reasonsAgainst, type TakeReport } from "./judge";
import { writeOwnFile } from "./own-file";
import type { Levels, Recorder, RecorderEvent, Setting } from "./recorder";
import { asideOf, type DoneTake, type Mark, measuring, showOf } from "./show-of";
import type { LastTake, SessionState } from "./state";
import { roundsWithPoints, type Step, stepsOf } from "./steps";

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

export type Session = ReturnType<typeof startSession>;

/** dB re full scale at which the level begins: hardly above the noise of a system that is turned up. */
export const FIRST_LEVEL = -60;

export function startSession(recorder: Recorder, options: SessionOptions, changed: () => void = () => {}) {
  const { folder, setting, reference, microphones, positions, seconds, venue } = options;
  const { rate, inputs, outputs } = setting;
  const points = new Map<string, number>();
  const atTheMix = new Set(positions.filter((position) => venue && standsAtTheMix(venue.venue, position)));
  let air: AirTold = {};
  const walk = { input: microphones[0], positions: fromTheFront(positions, venue?.venue) };
  const scratch = mkdtempSync(path.join(tmpdir(), "evenground-record-"));
  const notes = [...putAside(folder)];
  let done: DoneTake[] = [];
  const skipped = new Set<string>();
  const heard = analysis();
  const level = { chosen: null as number | null, playing: false };
  const held = Array.from({ length: inputs }, () => ({ hold: 0, clipped: false }));
  let levels: { readonly words: Levels; readonly at: number } | undefined;
  let running: Running | undefined;
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
  const steps = (): Step[] =>
    stepsOf(roundsWithPoints(positions, points, microphones.length), seconds).filter(
      ({ kind }) => kind !== "match" || microphones.length > 1,
    );
  const whereIn = ({ kind, where }: Step): Record<string, number> => {
    if (kind === "walk") return Object.fromEntries(walk.positions.map((position) => [position, walk.input]));
    const names = kind === "match" ? microphones.map((n, i) => positions[i] ?? `microphone ${n}`) : where;
    return Object.fromEntries(names.map((name, i) => [name, microphones[i]]));
  };
  /** Takes of what a step records, whatever it was called when they were made. */
  const takesOf = (step: Step): DoneTake[] => {
    const where = Object.keys(whereIn(step)).sort().join("\n");
    return done.filter(
      ({ kind, microphones: m }) =>
        kind === step.kind && (!measuring({ kind }) || Object.keys(m).sort().join("\n") === where),
    );
  };
  const stepOf = (id: string) => {
    const step = steps().find((s) => s.id === id);
    if (!step) throw new RangeError(`there is no take "${id}"`);
    return step;
  };
  const takeOf = (id: unknown): DoneTake => {
    const take = done.find((t) => t.id === id);
    if (!take) throw new RangeError(`no take "${id}" was accepted`);
    return take;
  };

  function listen(event: RecorderEvent): void {
    if (event.event === "levels") {
      levels = { words: event, at: performance.now() };
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

  function ended(told: TakeReport): void {
    const take = running;
    if (!take) return;
    running = undefined;
    const began = performance.now();
    const { id, step, signal, marks } = take;
    const report = step.kind === "walk" ? arrived(told) : told;
    const used = whereIn(step);
    const reasons = [
      ...(step.kind === "walk" && marks.length < 2
        ? ["fewer than two positions were marked: press the key as the microphone passes each"]
        : reasonsAgainst({
            report,
            microphones: [...new Set(Object.values(used))],
            ...(signal && { played: { sent: signal.samples, reference } }),
          })),
    ];
    let result: TakeResult | null = null;
    let walked: WalkTaken | null = null;
    const before = estimate;
    if (reasons.length) setAside(folder, report);
    else {
      const accepted = {
        id,
        kind: step.kind,
        file: `${id}.wav`,
        reference,
        microphones: used,
        ...air,
        ...(step.kind === "walk" && { marks }),
      };
      // Of these a show has one.
      const replaces = step.kind === "match" || step.kind === "noise";
      const replaced = replaces ? takesOf(step) : [];
      for (const { id: old, file } of replaced) {
        done = done.filter((t) => t.id !== old);
        if (file !== accepted.file) moveAside(folder, path.join(folder, file));
      }
      done.push(accepted);
      const show = written();
      result = hear(accepted, show);
      if (accepted.kind === "walk" && venue) walked = heard.walk(show ?? bareShow(venue.venue));
      if (venue && replaces) heard.prepare(show ?? bareShow(venue.venue));
    }
    last = {
      id,
      step: step.id,
      title: step.title,
      accepted: reasons.length === 0,
      reasons,
      result,
      walk: walked,
      before,
      seconds: (performance.now() - began) / 1000,
    };
  }

  /** What a take says, after which the estimate is another one. */
  function hear(take: DoneTake, show: Show | undefined): TakeResult | null {
    const index = done.filter(measuring).indexOf(take);
    if (!show || index < 0) return null;
    const result = heard.hear(show, index);
    estimate = result.estimate;
    return result;
  }

  /** Takes and show on the disk as they are now. */
  function written(): Show | undefined {
    writeWhole(path.join(folder, TAKES), `${JSON.stringify({ takes: done }, null, 2)}\n`);
    const file = venue && showOf(options.name, venue.file, done);
    if (!venue || !file) return undefined;
    showFile = writeOwnFile(folder, "show.json", `${JSON.stringify(file, null, 2)}\n`);
    return readShow(path.join(folder, showFile));
  }

  /** Of match, noise floor and walks alone no show is made, but they can be heard. */
  const bareShow = (of: Venue): Show => {
    // A noise floor is heard on the channels of the takes, and will have its own.
    const takes = done.flatMap(({ kind, file: recording, microphones }) =>
      kind === "noise" ? [{ playing: "mains" as const, recording, reference, microphones }] : [],
    );
    const file = { name: options.name, venue: "", takes, ...asideOf(done) };
    return { file, venue: of, folder, fileName: "show.json", remarks: [] };
  };

  function state(): SessionState {
    const db = (x: number) => Math.max(-120, 20 * Math.log10(x || 1e-6));
    const role = (n: number) =>
      n === reference ? "loop-back" : microphones.includes(n) ? "microphone" : "not used";
    const all = steps();
    const next = all.find((s) => !s.optional && !skipped.has(s.id) && takesOf(s).length === 0);
    const { words } = levels ?? {};
    return {
      folder,
      inputs: held.map(({ hold, clipped }, i) => ({
        number: i + 1,
        role: role(i + 1),
        peak_db: db(words?.peak[i] ?? 0),
        rms_db: db(words?.rms[i] ?? 0),
        hold_db: db(hold),
        clipped,
      })),
      left_s: secondsLeft(folder, 4 * inputs * rate),
      level: { chosen_db: level.chosen, playing: level.playing, most_db: most },
      steps: all.map((step) => ({
        ...step,
        where: whereIn(step),
        takes: takesOf(step).map(({ id, temperature, humidity }) => ({ id, temperature, humidity })),
      })),
      next: next?.id ?? null,
      recording: running
        ? {
            step: running.step.id,
            at_s: (words?.frame ?? 0) / rate,
            of_s: running.frames / rate,
            marks: running.marks,
          }
        : null,
      last,
      notes,
      showFile,
      air,
      drawnAir: venue
        ? { temperature: venue.venue.air.temperature, humidity: venue.venue.air.relativeHumidity }
        : null,
      points: positions.map((position) => ({
        position,
        count: points.get(position) ?? 1,
        proposed: atTheMix.has(position) ? POINTS : 1,
      })),
      walk,
    };
  }

  const requireLevel = (db: unknown): number => {
    if (typeof db === "number" && db >= -90 && db <= most) return db;
    throw new RangeError(`the level is ${db}, expected −90 to ${most.toFixed(1)} dB re full scale`);
  };
  const requireIdle = () => {
    if (running) throw new RangeError("a take is being recorded: stop it first");
  };

  done = takesBefore(folder);
  if (done.length) {
    notes.push(`${done.length} takes of before are kept: ${done.map(({ id }) => id).join(", ")}`);
    for (const take of done) {
      // Points that were measured before are asked for no more, but are still there.
      for (const name of measuring(take) ? Object.keys(take.microphones) : []) {
        const [, position, number] = /^(.*)\/(\d+)$/.exec(name) ?? [];
        if (positions.includes(position)) points.set(position, Math.max(points.get(position) ?? 1, +number));
      }
      air = { temperature: take.temperature, humidity: take.humidity };
    }
    const show = written();
    for (const take of done) hear(take, show);
  }

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
    /** Ends whatever sounds, and a take; a walk that is ended is a walk. */
    quiet(): void {
      recorder.order({ do: "quiet" });
      level.playing = false;
    },
    /** Records a take; one that is good joins those of the same step, but for a match and a noise floor, of which the last counts. */
    take(id: unknown): void {
      requireIdle();
      const step = stepOf(String(id));
      if (step.plays && level.chosen === null)
        throw new RangeError("no level is chosen yet: play the signal quietly first, and raise it by ear");
      if (level.playing) actions.quiet();
      const name = freeName(folder, step.id);
      const file = path.join(folder, `${name}.wav`);
      if (step.plays) {
        const signal = noiseOf(step.seconds);
        const frames = signal.samples.length;
        const sound = soundFile(signal, "take.f32");
        running = { id: name, step, frames, signal, marks: [] };
        recorder.order({ do: "take", file, frames, sound, gain: gainFor(signal, level.chosen!) });
      } else {
        const frames = step.seconds * rate;
        running = { id: name, step, frames, marks: [] };
        recorder.order({ do: "take", file, frames });
      }
    },
    /** Passes over a take; it can still be recorded later. */
    skip(id: unknown): void {
      skipped.add(stepOf(String(id)).id);
    },
    /** Takes a take that was accepted out of the show; its file is put aside. */
    leaveOut(id: unknown): void {
      requireIdle();
      const take = takeOf(id);
      done = done.filter((t) => t !== take);
      const file = path.join(folder, take.file);
      if (existsSync(file)) moveAside(folder, file);
      heard.forget(take.file);
      const show = written();
      estimate = show ? heard.estimate(show) : null;
      if (last?.id === id) last = null;
    },
    /** The air of takes that come, or of one that was made; nothing where it isn't known. */
    air(told: { readonly temperature?: unknown; readonly humidity?: unknown }, id?: unknown): void {
      const now = airOf(told);
      if (id === undefined) air = now;
      else {
        const { temperature: _, humidity: __, ...take } = takeOf(id);
        done = done.map((t) => (t.id === id ? { ...take, ...now } : t));
        written();
      }
    },
    /** How many points around a position are measured. */
    points(position: unknown, count: unknown): void {
      requireIdle();
      if (!positions.includes(position as string))
        throw new RangeError(`there is no position ${JSON.stringify(position)}`);
      if (!(Number.isInteger(count) && (count as number) >= 1 && (count as number) <= MOST_POINTS))
        throw new RangeError(`points are ${count}, expected 1 to ${MOST_POINTS}`);
      points.set(position as string, count as number);
    },
    /** Which microphone is carried, and what it passes. */
    walk(input: unknown, passes: unknown): void {
      requireIdle();
      if (!microphones.includes(input as number))
        throw new RangeError(`input ${input} is no microphone's; there are ${microphones.join(", ")}`);
      if (!Array.isArray(passes) || passes.length < 2 || passes.some((p) => !positions.includes(p)))
        throw new RangeError(`a walk passes two positions or more of ${positions.join(", ")}`);
      Object.assign(walk, { input, positions: [...passes] });
    },
    /** The microphone that is carried passes the next position, or a position by its name. */
    mark(position: unknown): void {
      if (running?.step.kind !== "walk" || !levels) throw new RangeError("no walk is being recorded");
      const { marks } = running;
      const next = walk.positions[marks.length ? walk.positions.indexOf(marks.at(-1)!.position) + 1 : 0];
      const passed = position === undefined ? next : position;
      if (!walk.positions.includes(passed as string))
        throw new RangeError("every position of the walk is marked: end it");
      const at = (levels.words.frame ?? 0) / rate + (performance.now() - levels.at) / 1000;
      running.marks = [...marks.filter((m) => m.position !== passed), { position: passed as string, at }];
    },
    clearClips(): void {
      for (const each of held) Object.assign(each, { hold: 0, clipped: false });
    },
  };

  return {
    state,
    ...actions,
    async close(): Promise<void> {
      await recorder.close();
      rmSync(scratch, { recursive: true, force: true });
    },
  };
}

interface Running {
  /** Name of the file without the ending. */
  readonly id: string;
  readonly step: Step;
  readonly frames: number;
  readonly signal?: Signal;
  marks: readonly Mark[];
}

/** Points around a seat that are proposed, and the most. */
const POINTS = 3;
const MOST_POINTS = 9;

/** One point among a room's modes says little of a seat, and by the mix position all others are judged. */
function standsAtTheMix(venue: Venue, id: string): boolean {
  const position = venue.positions.find((p) => p.id === id);
  return position !== undefined && standFor(venue, [position])[0].area === "front of house";
}

function fromTheFront(positions: readonly string[], venue: Venue | undefined): string[] {
  const x = (id: string) => venue?.positions.find((p) => p.id === id)?.point.x ?? 0;
  return [...positions].sort((a, b) => x(a) - x(b));
}

/** Full scale of float samples, less one step of 16 bits. */
const CLIPPED = 1 - 2 ** -14.9;

/** What of a signal repeats without a seam: neither quiet nor fades. */
function middle(samples: Float64Array, rate: number): Float64Array {
  const period = 2 ** Math.ceil(Math.log2(5 * rate));
  const start = Math.round(3 * rate);
  return samples.subarray(start, start + period);
}
