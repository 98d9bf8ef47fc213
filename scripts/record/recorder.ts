/** The recorder's process (recorder.py): what it is told, and what it tells. */
import { type ChildProcess, spawn } from "node:child_process";
import { createInterface } from "node:readline";
import { inRoot } from "../setup/places.mjs";
import { SetupError } from "../setup/setup-error.mjs";
import type { TakeReport } from "./judge";

export interface Device {
  readonly number: number;
  readonly name: string;
  /** The system's own interface to it. */
  readonly system: string;
  readonly inputs: number;
  readonly outputs: number;
  readonly rate: number;
  readonly usual: boolean;
}

export interface Setting {
  /** Its number or its name; by default the system's own choice. */
  readonly device?: number | string;
  readonly inputs: number;
  readonly outputs: number;
  readonly rate: number;
}

export interface Levels {
  /** Highest magnitude since the last word, full scale is 1, for each input. */
  readonly peak: readonly number[];
  readonly rms: readonly number[];
  /** Frames of the take so far; none while nothing is recorded. */
  readonly frame: number | null;
  /** Factor on the sound that plays; 0 while nothing does. */
  readonly gain: number;
}

export type RecorderEvent =
  | { readonly event: "open"; readonly latency: readonly number[]; readonly rate: number }
  | ({ readonly event: "levels" } & Levels)
  | ({ readonly event: "take" } & TakeReport)
  | { readonly event: "refused"; readonly why: string }
  | { readonly event: "device-gone" }
  | { readonly event: "ended" };

export type Order =
  /** Plays over and over, fading in; `sound` is a file of interleaved 32-bit floats. */
  | { readonly do: "play"; readonly sound: string; readonly gain: number; readonly loop: true }
  | { readonly do: "level"; readonly gain: number }
  | { readonly do: "quiet" }
  | {
      readonly do: "take";
      readonly file: string;
      readonly frames: number;
      readonly sound?: string;
      readonly gain?: number;
    };

/** What records: the process, or what stands in for it in a test. */
export interface Recorder {
  listen(listener: (event: RecorderEvent) => void): void;
  order(order: Order): void;
  /** Fades out, and ends once what was recorded is on the disk. */
  close(): Promise<void>;
}

const program = inRoot("scripts", "record", "recorder.py");
const environment = { ...process.env, PYTHONDONTWRITEBYTECODE: "1", PYTHONUNBUFFERED: "1" };

/** The interfaces that PortAudio knows of. */
export async function listDevices(python: string): Promise<Device[]> {
  const child = spawn(python, [program, "devices"], { stdio: ["ignore", "pipe", "pipe"], env: environment });
  let said = "";
  let complained = "";
  child.stdout.on("data", (data) => {
    said += data;
  });
  child.stderr.on("data", (data) => {
    complained += data;
  });
  await new Promise((resolve) => child.once("close", resolve));
  const last = lastLine(said);
  if (last?.event === "devices") return last.devices as Device[];
  throw noStart(last, complained);
}

/** Opens an interface and keeps it open. */
export async function startRecorder(python: string, setting: Setting): Promise<Recorder> {
  const child = spawn(python, [program, "run", JSON.stringify(setting)], {
    stdio: ["pipe", "pipe", "pipe"],
    env: environment,
  });
  let complained = "";
  child.stderr.on("data", (data) => {
    complained = (complained + data).slice(-4000);
  });
  const listeners: ((event: RecorderEvent) => void)[] = [];
  const ended = new Promise<void>((resolve) => child.once("close", () => resolve()));
  await new Promise<void>((resolve, reject) => {
    child.once("error", reject);
    createInterface({ input: child.stdout }).on("line", (line) => {
      const event = parsed(line);
      if (event?.event === "open") resolve();
      if (event?.event === "no-device" || event?.event === "no-portaudio") reject(noStart(event, complained));
      for (const listener of listeners) listener(event as unknown as RecorderEvent);
    });
    ended.then(() => {
      reject(noStart(undefined, complained));
      for (const listener of listeners) listener({ event: "ended" });
    });
  });
  return recorderOf(child, listeners, ended);
}

function recorderOf(
  child: ChildProcess,
  listeners: ((event: RecorderEvent) => void)[],
  ended: Promise<void>,
): Recorder {
  // A process that has ended takes no more orders; its end was told.
  child.stdin?.on("error", () => {});
  return {
    listen: (listener) => listeners.push(listener),
    order: (order) => child.stdin?.write(`${JSON.stringify(order)}\n`),
    async close() {
      child.stdin?.end();
      const force = setTimeout(() => child.kill(), 10_000);
      await ended;
      clearTimeout(force);
    },
  };
}

type Said = { readonly event: string; readonly [key: string]: unknown };

function parsed(line: string): Said | undefined {
  try {
    return JSON.parse(line);
  } catch {
    return undefined;
  }
}

const lastLine = (said: string) => parsed(said.trim().split("\n").at(-1) ?? "");

function noStart(said: Said | undefined, complained: string): SetupError {
  if (said?.event === "no-portaudio")
    return new SetupError(
      "PortAudio is missing, through which sound comes in: install it from your distribution (Debian and Ubuntu: sudo apt install libportaudio2; Fedora: sudo dnf install portaudio), then run this again.",
    );
  const why = said?.why ?? (complained.trim().split("\n").at(-1) || "the recorder ended without a word");
  return new SetupError(
    `The audio interface can't be opened: ${why}. Close other programs that use it, and see npm run record -- --devices for those there are, their inputs and rates.`,
  );
}
