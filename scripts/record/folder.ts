/** The folder of a recording: what was accepted before, names for what comes, and where what is refused is put. */
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, statfsSync } from "node:fs";
import path from "node:path";
import type { TakeReport } from "./judge";
import type { DoneTake } from "./show-of";

/** Time until the disk is full; nothing where the system doesn't say. */
export function secondsLeft(folder: string, bytesPerSecond: number): number | null {
  try {
    const { bavail, bsize } = statfsSync(folder);
    return Math.floor((bavail * bsize) / bytesPerSecond);
  } catch {
    return null;
  }
}

export const TAKES = "takes.json";

/** Takes that an earlier call has accepted and whose files are still there. */
export function takesBefore(folder: string): DoneTake[] {
  const file = path.join(folder, TAKES);
  if (!existsSync(file)) return [];
  const { takes } = JSON.parse(readFileSync(file, "utf8")) as { takes: DoneTake[] };
  return takes
    .map((take) => ({ ...take, file: path.basename(take.file) }))
    .filter((take) => existsSync(path.join(folder, take.file)));
}

/** Repetitions are numbered after the first, and no file is written over. */
export function freeName(folder: string, step: string): string {
  const name = (k: number) => (k > 1 ? `${step}-take-${k}` : step);
  let k = 1;
  while ([".wav", ".wav.part"].some((end) => existsSync(path.join(folder, name(k) + end)))) k++;
  return name(k);
}

const ASIDE = "refused";

/** Moves what a refused take left into a folder of its own, where nothing takes it for a take. */
export function setAside(folder: string, { file }: TakeReport): void {
  for (const left of [file, `${file}.part`]) if (existsSync(left)) moveAside(folder, left);
}

export function moveAside(folder: string, file: string): string {
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
export function putAside(folder: string): string[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith(".wav.part"))
    .map(
      (name) =>
        `${name} is what a broken recording left; as far as it went it can be read as ${moveAside(folder, path.join(folder, name))}`,
    );
}

/** A walk is ended by a person, and what was recorded until then is all of it. */
export function arrived(report: TakeReport): TakeReport {
  const part = `${report.file}.part`;
  if (!report.stopped || report.failed || !existsSync(part)) return report;
  renameSync(part, report.file);
  return { ...report, stopped: false };
}
